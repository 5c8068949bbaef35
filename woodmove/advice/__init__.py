"""How each answer is computed, a folder a family.

Each folder's first page is its table of contents: the questions that it answers, and the parts that they
share.
`doubt` and `air` stand below `drying` and `boards`, and those below `top`.
"""
