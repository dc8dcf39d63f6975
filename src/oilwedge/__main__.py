"""``python -m oilwedge`` is the program ``oilwedge``."""

import sys

from oilwedge.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
