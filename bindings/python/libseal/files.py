"""Files that are whole or not there, and names that every system takes."""

from __future__ import annotations

import hashlib
import os
import pathlib
import re
import tempfile
import unicodedata

__all__ = ["safe_name", "write_whole"]

LONGEST_NAME = 60
# Names that some systems keep for devices.
DEVICES = {"con", "prn", "aux", "nul", *(f"{kind}{n}" for kind in ("com", "lpt") for n in range(1, 10))}


def write_whole(path: str | os.PathLike[str], text: str) -> None:
    """Writes a temporary file beside the target and renames it: whatever ends the program, no half file has the name.

    A device or a pipe is written to as it is. An OSError has the path as it was given, whatever step failed.
    """
    try:
        write_beside(pathlib.Path(path), text)
    except OSError as error:
        error.filename, error.filename2 = os.fspath(path), None
        raise


def write_beside(target: pathlib.Path, text: str) -> None:
    if target.is_symlink():
        target = target.resolve()
    if target.exists() and not target.is_file():  # a device or a pipe takes the text, it is not replaced
        with target.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        return
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        try:
            mode = target.stat().st_mode & 0o777
        except FileNotFoundError:
            mask = os.umask(0)
            os.umask(mask)
            mode = 0o666 & ~mask
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        pathlib.Path(name).unlink(missing_ok=True)
        raise


def safe_name(text: str) -> str:
    """A file name (without ending) for any text: lower-case letters, digits and "_", and a hash of the text.

    The hash keeps texts apart that read alike, whatever else is in the folder, so that a name stays the same for ever.
    """
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "_", letters).strip("_")[:LONGEST_NAME].strip("_")
    if not slug or slug in DEVICES:
        slug = f"owner_{slug}".strip("_")
    return f"{slug}-{hashlib.sha256(text.encode('utf-8', 'surrogatepass')).hexdigest()[:8]}"
