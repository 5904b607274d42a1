"""The top level of the repository holds these few things; everything else has a place below."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml"}
FOLDERS = {"packet", "templates", "styles", "tests", "jobs"}


@pytest.mark.skipif(
    shutil.which("git") is None or not (ROOT / ".git").exists(),
    reason="git tells which files belong to the repository; this is no clone",
)
def test_the_top_level_holds_only_what_belongs_there() -> None:
    listed = subprocess.run(
        [
            "git",
            "-c",
            f"safe.directory={ROOT}",
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
        ],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    paths = [Path(name) for name in listed.split("\0") if name]
    plain = [path for path in paths if not path.parts[0].startswith(".")]
    files = {path.name for path in plain if len(path.parts) == 1}
    folders = {path.parts[0] for path in plain if len(path.parts) > 1}
    assert files == FILES
    assert folders == FOLDERS
