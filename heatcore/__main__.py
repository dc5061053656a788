"""`python -m heatcore`: the command line."""

import sys

from heatcore.cli import main

if __name__ == "__main__":
    sys.exit(main())
