"""`.ci/constraints.txt` names one exact version of everything that gets installed."""

from __future__ import annotations

import re
import sys
import tomllib
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
LINES = [
    line
    for line in (ROOT / ".ci/constraints.txt").read_text("utf-8").splitlines()
    if line and not line.startswith("#")
]
PINS = {canonicalize_name(name): version for name, _, version in (x.partition("==") for x in LINES)}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
ASKED = [
    Requirement(line)
    for group in (
        PROJECT["project"]["dependencies"],
        PROJECT["project"]["optional-dependencies"]["dev"],
        PROJECT["build-system"]["requires"],
        ["editables"],  # hatchling asks for it when it installs a checkout
    )
    for line in group
]
IN_OUR_ENVIRONMENT = Path(sys.prefix) == ROOT / ".venv"


def installed(asked: list[Requirement]) -> dict[str, str]:
    """Return every distribution that `asked` leads to here, with its version."""
    found: dict[str, str] = {}
    seen: set[tuple[str, str]] = set()
    ahead = [(asked_for, extra) for asked_for in asked for extra in ("", *asked_for.extras)]
    while ahead:
        requirement, extra = ahead.pop()
        name = canonicalize_name(requirement.name)
        if (name, extra) in seen:
            continue
        seen.add((name, extra))
        try:
            here = distribution(name)
        except PackageNotFoundError:
            assert not IN_OUR_ENVIRONMENT, f"{name} is not installed; run: bash .ci/setup --dev"
            continue
        found[name] = here.version
        for line in here.requires or []:
            needed = Requirement(line)
            if needed.marker is None or needed.marker.evaluate({"extra": extra}):
                ahead += [(needed, wanted) for wanted in ("", *needed.extras)]
    return found


def test_every_line_is_one_exact_version_for_every_python() -> None:
    for line in LINES:
        assert re.fullmatch(r"[A-Za-z0-9._-]+==[0-9][A-Za-z0-9.]*", line), line
    assert len(PINS) == len(LINES), "a package is named twice"


@pytest.mark.parametrize("asked", ASKED, ids=str)
def test_what_the_project_asks_for_is_pinned_within_its_limits(asked: Requirement) -> None:
    assert asked.specifier.contains(PINS[canonicalize_name(asked.name)])


def test_every_installed_dependency_is_pinned() -> None:
    found = installed(ASKED)
    assert "weasyprint" in found
    assert "cffi" in found, "a dependency of a dependency was not followed"
    assert found.keys() <= PINS.keys()


@pytest.mark.skipif(not IN_OUR_ENVIRONMENT, reason="not run from .venv, so versions may differ")
def test_the_environment_holds_exactly_the_pinned_versions() -> None:
    assert installed(ASKED) == PINS
