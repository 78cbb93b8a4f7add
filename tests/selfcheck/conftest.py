import os
import pathlib

import pytest
import tree


@pytest.fixture(scope="session")
def build_folder() -> pathlib.Path:
    """The build that tests/run.sh made."""
    folder = pathlib.Path(os.environ.get("LIBSEAL_BUILD", tree.ROOT / "build" / "tests"))
    if not (folder / "compile_commands.json").exists():
        pytest.skip(f"no build in {folder}; bash tests/run.sh makes one")
    return folder
