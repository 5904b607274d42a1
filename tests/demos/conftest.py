"""Each demo job worked out and printed once for all tests of this folder."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from packet.jobfile import load_job
from packet.plans.branch_circuit import Plan, plan
from packet.sheets.sets import SETS
from packet.sheets.views import SheetSet
from tests.pages import checks

JOBS = sorted((Path(__file__).parents[2] / "jobs").glob("*.yaml"))
NAMES = ["cellar-subpanel", "driveway-pedestal", "full-service", "garage-receptacle"]
"""Demos that are printed in every form: set, paper, print and language."""

ONCE = [path.stem for path in JOBS if path.stem not in NAMES]
"""Demos that are printed once; between them they show every other kind of work."""


@cache
def planned(name: str) -> Plan:
    """Return the worked-out demo job."""
    return plan(load_job(next(path for path in JOBS if path.stem == name)))


@cache
def sheets(name: str, reader: str = "clipboard") -> SheetSet:
    """Return one set of a demo."""
    return SETS[reader](planned(name))


@cache
def printed(name: str, paper: str = "letter", reader: str = "clipboard") -> checks.Printed:
    """Return one set of a demo, laid out and printed."""
    return checks.printed(sheets(name, reader), paper)
