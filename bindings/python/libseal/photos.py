"""Photos of findings inside a page: only from the folder that the caller names, only PNG and JPEG, only up to a size."""

from __future__ import annotations

import base64
import os
import pathlib
import stat
import struct
from dataclasses import dataclass, field

__all__ = ["Album", "Photo"]

PNG = b"\x89PNG\r\n\x1a\n"
FRAMES = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}  # markers of JPEG that carry the size (ITU-T T.81, table B.1)
LONGEST_SIDE = 20000  # px; more is no photo


@dataclass(frozen=True)
class Photo:
    """A photo by name. `uri` is empty if it could not be put into the page, `why` says why."""

    name: str
    uri: str = ""
    width: int = 0
    height: int = 0
    why: str = ""


def png_size(data: bytes) -> tuple[int, int] | None:
    """Width and height of a PNG, None if it is none."""
    if len(data) < 45 or not data.startswith(PNG) or data[8:16] != b"\x00\x00\x00\rIHDR" or b"IEND" not in data[-12:]:
        return None
    width, height = struct.unpack(">II", data[16:24])
    return width, height


def jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Width and height of a JPEG by its segments, None if it is none."""
    if not data.startswith(b"\xff\xd8\xff"):
        return None
    at = 2
    while at + 9 < len(data):
        if data[at] != 0xFF:
            return None
        marker = data[at + 1]
        if marker == 0xFF:  # fill byte
            at += 1
            continue
        if marker in FRAMES:
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            return width, height
        if marker in (0xD9, 0xDA):  # end or picture before any size
            return None
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return None


def read_inside(folder: pathlib.Path, name: str, most: int) -> bytes | str:
    """Bytes of a file inside the folder, or why not in words. Links may not lead out of it."""
    if "\x00" in name or "\\" in name or ":" in name or pathlib.PurePosixPath(name).is_absolute() or ".." in pathlib.PurePosixPath(name).parts:
        return "not a plain name inside the folder of photos"
    try:
        root = folder.resolve(strict=True)
        path = (root / name).resolve(strict=True)
    except (OSError, RuntimeError, ValueError):
        return "not in the folder of photos"
    if root not in path.parents:
        return "not in the folder of photos"
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except OSError:
        return "cannot be read"
    about = os.fstat(handle)
    if not stat.S_ISREG(about.st_mode):
        os.close(handle)
        return "no file"
    with os.fdopen(handle, "rb") as file:
        if about.st_size > most:
            return f"larger than {most / 1e6:.1f} MB"
        data = file.read(most + 1)
    return data if len(data) <= most else f"larger than {most / 1e6:.1f} MB"


@dataclass
class Album:
    """Photos of one page, each read once; together they may have so many bytes."""

    folder: str | os.PathLike[str] | None
    largest: int = 4_000_000  # bytes of one photo
    together: int = 40_000_000  # bytes of all photos of the page
    used: int = 0
    known: dict[str, Photo] = field(default_factory=dict)

    def photo(self, name: str) -> Photo:
        """The photo of a finding; without a folder its name alone."""
        if name not in self.known:
            self.known[name] = self.read(name)
        return self.known[name]

    def read(self, name: str) -> Photo:
        if self.folder is None:
            return Photo(name)
        data = read_inside(pathlib.Path(self.folder), name, self.largest)
        if isinstance(data, str):
            return Photo(name, why=data)
        kind, size = "png", png_size(data)
        if size is None:
            kind, size = "jpeg", jpeg_size(data)
        if size is None:
            return Photo(name, why="neither PNG nor JPEG")
        if not (0 < size[0] <= LONGEST_SIDE and 0 < size[1] <= LONGEST_SIDE):
            return Photo(name, why="no usual size")
        if self.used + len(data) > self.together:
            return Photo(name, why=f"photos of more than {self.together / 1e6:.0f} MB together")
        self.used += len(data)
        return Photo(name, f"data:image/{kind};base64,{base64.b64encode(data).decode()}", *size)
