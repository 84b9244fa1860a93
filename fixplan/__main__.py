"""`python -m fixplan` does what `fixplan` does."""

import sys

from fixplan.cli import main

if __name__ == "__main__":
    sys.exit(main())
