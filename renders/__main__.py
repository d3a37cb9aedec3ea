"""`python -m renders` does what `vocaltract` does."""

import sys

from renders.cli import main

if __name__ == "__main__":
    sys.exit(main())
