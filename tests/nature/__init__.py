"""Measurements by others, held against our bands: ``python -m tests.nature``.

A band is tried with a prior that was made without the set it is tried on, and nothing is tuned set by set.
What is counted are units that stand by themselves (a log, a house, a dry spell, a product), not readings: a
unit that was read many times counts by the share of its readings that lie inside.
"""
