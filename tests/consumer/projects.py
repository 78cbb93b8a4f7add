"""How the consumer projects are run; their build folders stay, so a second run takes seconds."""

import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]


def run(*command, env=None, cwd=ROOT):
    """Standard output of a command that must succeed."""
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, cwd=cwd, env=env)
    assert done.returncode == 0, f"{' '.join(map(str, command))}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def source_package(folder):
    """The source package, made by the hook that `python -m build --sdist` and pip call."""
    name = run(sys.executable, "-c", "import sys; from scikit_build_core.build import build_sdist; print(build_sdist(sys.argv[1]))", folder)
    return pathlib.Path(folder) / name.splitlines()[-1]
