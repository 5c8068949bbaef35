"""Print the table."""

from .table import sets, table

if __name__ == "__main__":
    print(table(sets()))
