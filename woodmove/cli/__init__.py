"""The command line: what is typed, and what is printed of the answer."""
