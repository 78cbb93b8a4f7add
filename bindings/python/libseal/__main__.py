"""python -m libseal COMMAND, the same as libseal COMMAND."""

import sys

from .cli import main

if __name__ == "__main__":
    sys.exit(main())
