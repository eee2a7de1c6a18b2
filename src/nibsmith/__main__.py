"""Run the command line: ``python -m nibsmith``."""

import sys

from nibsmith.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
