"""A wheel built from this tree is the whole tool: it works from any folder, without the tree."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import sysconfig
import tomllib
import venv
import zipfile
from dataclasses import dataclass
from email.parser import Parser
from importlib.util import find_spec
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
JOBS = sorted((ROOT / "jobs").glob("*.yaml"))
SOME_JOBS = JOBS[::3]
"""Enough of the demos to see that an installed packet calculates as the tree does."""
TRAVELS_AS = {"packet": "packet", "templates": "packet/_templates", "styles": "packet/_styles"}

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        find_spec("hatchling") is None and os.environ.get("CI") != "true",
        reason="hatchling builds the wheel; `bash .ci/setup --dev` installs it",
    ),
]


@dataclass(frozen=True)
class Installed:
    """The wheel in an environment of its own, and a folder elsewhere to work in."""

    bin: Path
    desk: Path

    def run(self, program: str, *arguments: str) -> subprocess.CompletedProcess[str]:
        clean = {name: text for name, text in os.environ.items() if not name.startswith("PYTHON")}
        return subprocess.run(
            [self.bin / program, *arguments],
            cwd=self.desk,
            env=clean,
            capture_output=True,
            text=True,
            check=False,
        )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", folder],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Installed:
    """Install the wheel alone; its dependencies are lent by the running interpreter.

    The lent folder is named in a `.pth` file, and Python reads no `.pth` files inside it:
    a checkout that is installed there as editable stays out of sight.
    """
    home = tmp_path_factory.mktemp("environment")
    venv.create(home, with_pip=False, symlinks=True)
    scripts = home / "bin"
    subprocess.run(
        [
            sys.executable,
            "-m",
            "pip",
            "--python",
            scripts / "python",
            "install",
            "--quiet",
            "--no-index",
            "--no-deps",
            wheel,
        ],
        check=True,
        capture_output=True,
    )
    lent = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (site,) = home.glob("lib/python3*/site-packages")
    (site / "lent.pth").write_text("\n".join(sorted(lent)) + "\n", "utf-8")
    return Installed(scripts, tmp_path_factory.mktemp("desk"))


def test_the_wheel_holds_every_file_of_the_tool_and_nothing_else(wheel: Path) -> None:
    held = {
        name
        for name in zipfile.ZipFile(wheel).namelist()
        if ".dist-info/" not in name and not name.endswith("/")
    }
    of_the_tree = {
        (Path(travels_as) / path.relative_to(ROOT / folder)).as_posix()
        for folder, travels_as in TRAVELS_AS.items()
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and path.name != ".DS_Store"
    }
    assert held == of_the_tree
    for kind in (".py", ".yaml", "units.txt", ".html", ".css"):
        assert any(name.endswith(kind) for name in held), f"no {kind} in the wheel"


def test_the_wheel_asks_for_what_the_project_file_names(wheel: Path) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    with zipfile.ZipFile(wheel) as archive:
        (name,) = (n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))
        metadata = Parser().parsestr(archive.read(name).decode("utf-8"))
    asked = {
        str(Requirement(line))
        for line in metadata.get_all("Requires-Dist", [])
        if "extra ==" not in line
    }
    assert asked == {str(Requirement(line)) for line in project["dependencies"]}
    assert metadata["Requires-Python"] == project["requires-python"]


def test_the_installed_tool_is_not_the_checkout(installed: Installed) -> None:
    told = installed.run("python", "-c", "import packet; print(packet.__file__)")
    assert Path(told.stdout.strip()).is_relative_to(installed.bin.parent), told.stderr


def test_the_figures_the_glossary_and_the_catalogs_can_be_read_elsewhere(
    installed: Installed,
) -> None:
    code = (
        "from packet.codebook import EDITIONS, Book, figures; from packet.words import glossary;"
        "from packet.resources import language_of, languages;"
        "[Book(edition).has(name) for edition in EDITIONS for name in figures()];"
        "print(len(figures()), len(glossary()), [language_of(one).texts for one in languages()])"
    )
    elsewhere = installed.run("python", "-c", code)
    here = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert elsewhere.stdout == here.stdout, elsewhere.stderr


@pytest.mark.parametrize("job", SOME_JOBS, ids=lambda path: path.stem)
def test_every_demo_job_has_the_same_values_elsewhere(installed: Installed, job: Path) -> None:
    copy = shutil.copy(job, installed.desk)
    elsewhere = installed.run("packet", "values", Path(copy).name, "--json")
    here = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; from packet.cli import main; sys.exit(main())",
            "values",
            job.name,
            "--json",
        ],
        cwd=job.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert json.loads(elsewhere.stdout) == json.loads(here.stdout), elsewhere.stderr
    assert elsewhere.returncode == here.returncode


def test_a_packet_can_be_built_elsewhere(installed: Installed) -> None:
    assert JOBS, "there is no demo job"
    job = Path(shutil.copy(JOBS[0], installed.desk))
    done = installed.run("packet", "build", job.name, "--out", "out")
    printed = list((installed.desk / "out").rglob("*.pdf"))
    assert printed, done.stdout + done.stderr
    for path in printed:
        assert path.read_bytes().startswith(b"%PDF-"), path.name
        assert path.name in done.stdout
