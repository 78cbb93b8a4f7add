"""What the self-checks know about the tree: its folders, its files, and which way includes may run."""

import functools
import pathlib
import re
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
INCLUDE = ROOT / "libseal" / "include"
PUBLIC = INCLUDE / "libseal"
PRIVATE = ROOT / "libseal" / "src"

# folder -> folders it may include directly; what those may include comes with them.
MAY_INCLUDE = {
    "core": [],
    "climate": ["core"],
    "catalogue": ["core"],
    "coach": ["core", "catalogue"],
    "exposure": ["climate", "coach"],
    "ageing": ["exposure"],
    "survey": ["coach"],
    "life": ["core"],
    "forecast": ["ageing", "survey", "life"],
    "leak": ["forecast", "coach"],
    "work": ["forecast", "catalogue"],
    "schedule": ["work"],
    "calendar": ["schedule"],
    "tuning": ["forecast"],
}
# Fast loops on plain columns: they serve folders and know none but core.
PRIVATE_ONLY = {"kernel": ["core"]}


@functools.cache
def reachable(folder: str) -> frozenset[str]:
    """The folder itself and all it may include, however far."""
    direct = MAY_INCLUDE.get(folder, PRIVATE_ONLY.get(folder, []))
    return frozenset({folder}).union(*(reachable(name) for name in direct))


@functools.cache
def committed_files() -> tuple[pathlib.Path, ...]:
    """Files that git knows or would add; every file if this is no checkout."""
    listing = subprocess.run(
        ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True,
    )
    if listing.returncode == 0:
        paths = [ROOT / name for name in listing.stdout.split("\0") if name]
    else:
        paths = [path for path in ROOT.rglob("*") if not {"build", ".venv", ".git"} & set(path.relative_to(ROOT).parts)]
    return tuple(path for path in paths if path.is_file())


def public_headers() -> list[pathlib.Path]:
    return sorted(PUBLIC.rglob("*.h*"))


def own_includes(path: pathlib.Path) -> list[str]:
    """Names that a file includes in quotes, comments taken out."""
    text = re.sub(r"//[^\n]*|/\*.*?\*/", "", path.read_text(), flags=re.DOTALL)
    return re.findall(r'^\s*#\s*include\s*"([^"]+)"', text, flags=re.MULTILINE)


def folder_of_include(name: str) -> str | None:
    """The folder of ours that an include names: "libseal/coach/coach.hpp" and "coach/parse.hpp" are both coach."""
    parts = name.removeprefix("libseal/").split("/")
    return parts[0] if len(parts) > 1 else None
