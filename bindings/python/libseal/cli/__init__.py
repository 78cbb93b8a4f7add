"""The command line: `libseal COMMAND`, or python -m libseal COMMAND. Needs click; docs/command_line.md is its page."""

from __future__ import annotations

import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit code; prints what it has to say."""
    try:
        from . import app
    except ImportError as error:
        if (error.name or "").partition(".")[0] != "click":
            raise
        print('error: the command line needs click: pip install "libseal[cli]"', file=sys.stderr)
        return 5
    return app.run(sys.argv[1:] if argv is None else list(argv))
