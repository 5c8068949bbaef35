"""Print the table of the sets, and that of the rooms."""

from . import rooms
from .table import sets, table

if __name__ == "__main__":
    print(table(sets()))
    print()
    print(rooms.table())
