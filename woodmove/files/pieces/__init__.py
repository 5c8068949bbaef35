"""Boards and strips on disk: a row a piece."""
