"""The version, read without loading the compiled part where a package says it."""

from __future__ import annotations


def version() -> str:
    try:
        from importlib import metadata

        return metadata.version("libseal")
    except Exception:  # a build that was not installed
        from . import _libseal

        return _libseal.__version__
