"""Long runs, made on request: ``pytest -s -o addopts= tests/campaigns``.

The ordinary suite holds a small case of each, in ``test_doubt.py``.
"""
