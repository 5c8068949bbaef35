"""python -m woodmove"""

import sys

from woodmove.cli import main

if __name__ == "__main__":
    sys.exit(main())
