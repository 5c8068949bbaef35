"""python -m woodmove"""

import sys

from woodmove.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
