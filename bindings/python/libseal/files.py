"""Files that are whole or not there, and names that every system takes."""

from __future__ import annotations

import hashlib
import os
import pathlib
import re
import tempfile
import unicodedata

__all__ = ["fingerprint", "kept_name", "safe_name", "write_whole"]

LONGEST_NAME = 60
LONGEST_KEPT_NAME = 48
# Names that some systems keep for devices.
DEVICE = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)


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


def fingerprint(text: str, length: int) -> str:
    """So many hexadecimal digits that tell a text from others."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:length]


def kept_name(text: str) -> str:
    """A file name (without ending) for an id: the id itself where every system takes it, else its letters, digits, "-" and "_" and a hash."""
    name = re.sub(r"[^A-Za-z0-9_-]+", "-", text).strip("-")[:LONGEST_KEPT_NAME]
    if name == text and not DEVICE.fullmatch(name):
        return name
    return f"{name}-{fingerprint(text, 10)}" if name else fingerprint(text, 10)


def safe_name(text: str) -> str:
    """A file name (without ending) for any text: lower-case letters, digits and "_", and a hash of the text.

    The hash keeps texts apart that read alike, whatever else is in the folder, so that a name stays the same for ever.
    """
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "_", letters).strip("_")[:LONGEST_NAME].strip("_")
    if not slug or DEVICE.fullmatch(slug):
        slug = f"owner_{slug}".strip("_")
    return f"{slug}-{fingerprint(text, 8)}"
