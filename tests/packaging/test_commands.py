"""The two commands of the README, the set-up behind them, and what CI makes of them."""

from __future__ import annotations

import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def commands() -> list[str]:
    """Every command of the README that begins with the set-up, as its fenced block has it."""
    blocks = re.findall(r"^```sh\n(.*?)^```$", README.read_text("utf-8"), re.MULTILINE | re.DOTALL)
    return [block.removesuffix("\n") for block in blocks if block.startswith("bash .ci/setup")]


def test_the_readme_has_two_commands_of_one_line_each() -> None:
    found = commands()
    assert len(found) == 2
    assert all("\n" not in command for command in found)


def test_one_command_builds_a_demo_job_into_a_folder_that_git_ignores() -> None:
    match = re.fullmatch(
        r"bash \.ci/setup && \.venv/bin/packet build (jobs/\S+\.yaml) --out (\S+)", commands()[0]
    )
    assert match, commands()[0]
    job, out = match.groups()
    assert (ROOT / job).is_file(), f"{job} is not there"
    assert f"/{out}/" in (ROOT / ".gitignore").read_text("utf-8").splitlines()
    assert "packet" in PROJECT["scripts"]


def test_the_other_command_runs_the_tests_and_all_of_them() -> None:
    assert commands()[1] == "bash .ci/setup --dev && .venv/bin/pytest"


@pytest.mark.parametrize("script", ["setup", "run"])
def test_the_scripts_are_sound_bash(script: str) -> None:
    subprocess.run(["bash", "-n", ROOT / ".ci" / script], check=True)


# --- CI ---------------------------------------------------------------------------------


class Rehearsal:
    """A folder with the real `.ci/run` and README in which every tool only notes its call."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.calls = folder / "calls"
        (folder / ".ci").mkdir()
        (folder / ".venv/bin").mkdir(parents=True)
        shutil.copy(ROOT / ".ci/run", folder / ".ci")
        shutil.copy(README, folder)
        for tool in (".ci/setup", ".venv/bin/pytest", ".venv/bin/ruff", ".venv/bin/mypy"):
            self.ends(tool, 0)

    def ends(self, tool: str, status: int) -> None:
        path = self.folder / tool
        path.write_text(
            f'#!/usr/bin/env bash\necho {tool} "$@" >>{self.calls}\nexit {status}\n', "utf-8"
        )
        path.chmod(0o755)

    def run(self) -> tuple[int, list[str]]:
        done = subprocess.run(
            ["bash", self.folder / ".ci/run"], capture_output=True, check=False, env=quiet_path()
        )
        lines = self.calls.read_text("utf-8").splitlines() if self.calls.exists() else []
        return done.returncode, [line.strip() for line in lines]


def quiet_path() -> dict[str, str]:
    """The search path alone: no `CI`, so that a rehearsal installs nothing."""
    return {"PATH": "/usr/local/bin:/usr/bin:/bin:/opt/homebrew/bin"}


@pytest.fixture
def rehearsal(tmp_path: Path) -> Rehearsal:
    return Rehearsal(tmp_path)


EVERY_CALL = [
    ".ci/setup --dev",
    ".venv/bin/pytest",
    ".venv/bin/ruff check",
    ".venv/bin/ruff format --check",
    ".venv/bin/mypy",
]


def test_ci_runs_the_readme_command_then_lint_format_and_types(rehearsal: Rehearsal) -> None:
    assert rehearsal.run() == (0, EVERY_CALL)


@pytest.mark.parametrize(
    ("tool", "status"),
    [
        (".venv/bin/pytest", 1),
        (".venv/bin/pytest", 5),  # pytest's own word for: no test was found
        (".venv/bin/ruff", 1),
        (".venv/bin/mypy", 1),
    ],
)
def test_ci_fails_with_any_tool_and_still_runs_the_rest(
    rehearsal: Rehearsal, tool: str, status: int
) -> None:
    rehearsal.ends(tool, status)
    assert rehearsal.run() == (1, EVERY_CALL)


def test_ci_fails_when_the_set_up_fails_and_runs_no_test_then(rehearsal: Rehearsal) -> None:
    rehearsal.ends(".ci/setup", 1)
    assert rehearsal.run() == (1, [EVERY_CALL[0], *EVERY_CALL[2:]])


def test_ci_follows_the_readme(rehearsal: Rehearsal) -> None:
    changed = README.read_text("utf-8").replace(".venv/bin/pytest\n", ".venv/bin/pytest -x\n")
    (rehearsal.folder / "README.md").write_text(changed, "utf-8")
    status, calls = rehearsal.run()
    assert (status, calls[1]) == (0, ".venv/bin/pytest -x")


@pytest.mark.parametrize("times", [0, 2])
def test_ci_fails_when_the_readme_has_not_one_test_command(
    rehearsal: Rehearsal, times: int
) -> None:
    line = commands()[1]
    text = README.read_text("utf-8").replace(line, "\n".join([line] * times))
    (rehearsal.folder / "README.md").write_text(text, "utf-8")
    assert rehearsal.run() == (1, EVERY_CALL[2:])


# --- the set-up -------------------------------------------------------------------------


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """A checkout on a machine with nothing but the usual small tools; returns its folder."""
    tree = tmp_path / "a folder with spaces"
    shutil.copytree(ROOT / ".ci", tree / ".ci")
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, tree)
    tools = tmp_path / "tools"
    tools.mkdir()
    for name in ("bash", "cat", "cksum", "dirname", "env", "grep", "id", "mkdir", "rm", "uname"):
        found = shutil.which(name)
        assert found, name
        (tools / name).symlink_to(found)
    return tree


def set_up(tree: Path, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["bash", tree / ".ci/setup", *options],
        env={"PATH": str(tree.parent / "tools"), "HOME": str(tree)},
        capture_output=True,
        text=True,
        check=False,
    )


def put_tool(tree: Path, name: str, body: str) -> None:
    path = tree.parent / "tools" / name
    path.write_text(f"#!/usr/bin/env bash\n{body}\n", "utf-8")
    path.chmod(0o755)


def test_the_set_up_says_how_it_is_used(bare: Path) -> None:
    done = set_up(bare, "--everything")
    assert done.returncode != 0
    assert "bash .ci/setup [--dev]" in done.stderr


@pytest.mark.parametrize("python", ["", "exit 1"], ids=["none", "too old"])
def test_the_set_up_says_that_it_needs_python(bare: Path, python: str) -> None:
    if python:
        put_tool(bare, "python3", python)
    done = set_up(bare)
    assert done.returncode != 0
    assert "Python 3.11 or newer" in done.stderr
    assert not (bare / ".venv").exists()


PYTHON = """
case "$*" in
*"-m venv"*)
    mkdir -p "$4/bin" && printf '%s' "$4" >"$4/bin/activate" && cat "$0" >"$4/bin/python"
    chmod +x "$4/bin/python" ;;
*"-m pip"*install*) echo pip "$@" >>"$HOME/calls"; exit {pip} ;;
*weasyprint*) echo "OSError: cannot load library libpango" >&2; exit {weasyprint} ;;
esac
"""


def machine(tree: Path, *, pip: int = 0, weasyprint: int = 0) -> None:
    """Put a Python in place that only pretends to install."""
    put_tool(tree, "python3", PYTHON.format(pip=pip, weasyprint=weasyprint))
    chmod = shutil.which("chmod")
    assert chmod
    (tree.parent / "tools/chmod").symlink_to(chmod)


def test_the_set_up_installs_once_and_then_finds_everything_in_place(bare: Path) -> None:
    machine(bare)
    first, calls = set_up(bare), bare / "calls"
    assert first.returncode == 0, first.stderr
    installs = calls.read_text("utf-8").splitlines()
    assert all(f"--constraint {bare}/.ci/constraints.txt" in line for line in installs)
    assert installs[-1].endswith("--editable .")
    second = set_up(bare)
    assert second.returncode == 0
    assert "everything is in place" in second.stderr
    assert calls.read_text("utf-8").splitlines() == installs


def test_development_needs_more_and_is_enough_for_use(bare: Path) -> None:
    machine(bare)
    calls = bare / "calls"
    set_up(bare)
    set_up(bare, "--dev")
    installs = calls.read_text("utf-8").splitlines()
    assert installs[-1].endswith("--editable .[dev]")
    assert set_up(bare).returncode == 0
    assert calls.read_text("utf-8").splitlines() == installs


@pytest.mark.parametrize("name", [".ci/constraints.txt", ".ci/setup", "pyproject.toml"])
def test_a_change_of_what_is_asked_for_is_noticed(bare: Path, name: str) -> None:
    machine(bare)
    set_up(bare)
    before = (bare / "calls").read_text("utf-8")
    with (bare / name).open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    assert set_up(bare).returncode == 0
    assert (bare / "calls").read_text("utf-8") == before * 2


def test_a_moved_checkout_gets_a_new_environment(bare: Path) -> None:
    machine(bare)
    set_up(bare)
    moved = bare.rename(bare.with_name("moved"))
    done = set_up(moved)
    assert done.returncode == 0
    assert "making a virtual environment" in done.stderr


def test_a_failed_download_is_told_and_tried_again(bare: Path) -> None:
    machine(bare, pip=1)
    for _ in range(2):
        done = set_up(bare)
        assert done.returncode != 0
        assert "could not be installed" in done.stderr
        assert "everything is in place" not in done.stderr


def test_missing_libraries_are_told_with_their_reason(bare: Path) -> None:
    machine(bare, weasyprint=1)
    for _ in range(2):
        done = set_up(bare)
        assert done.returncode != 0
        assert "libpango" in done.stderr
        assert "Pango, HarfBuzz and fontconfig" in done.stderr


def test_what_needs_an_administrator_is_told_where_nobody_can_be_asked(bare: Path) -> None:
    (bare.parent / "tools/id").unlink()
    put_tool(bare, "id", "echo 1000")
    put_tool(bare, "apt-get", 'echo apt-get "$@" >>"$HOME/calls"')
    done = set_up(bare)
    assert done.returncode != 0
    assert "Administrator rights are needed for: apt-get" in done.stderr
    assert not (bare / "calls").exists()


def test_apt_installs_what_is_missing_and_nothing_it_does_not_know(bare: Path) -> None:
    machine(bare, weasyprint=1)
    (bare.parent / "tools/id").unlink()
    put_tool(bare, "id", "echo 0")
    put_tool(bare, "apt-get", 'echo apt-get "$@" >>"$HOME/calls"')
    put_tool(bare, "apt-cache", 'case "$*" in *subset*) exit 100 ;; esac')
    assert set_up(bare).returncode != 0  # this machine's Python never finds the libraries
    lines = (bare / "calls").read_text("utf-8").splitlines()
    update, install = [line for line in lines if line.startswith("apt-get")]
    assert update.startswith("apt-get update")
    assert "libpango-1.0-0" in install
    assert "subset" not in install
