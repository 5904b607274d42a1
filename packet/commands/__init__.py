"""The commands, one module each, and what they share.

A module here has ``HELP``, the line in the list of commands; ``add(parser)``, which adds its
arguments; and ``run(options)``, which does the work and returns the exit status. Its name, with
``-`` for ``_``, is the word that is typed. :mod:`packet.cli` lists the modules.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from packet.ledger import Ledger
    from packet.plans.branch_circuit import Plan

DONE, FAULTS, WRONG_USE, DO_NOT_START = 0, 1, 2, 3
"""Exit statuses: done; faults in a given file; wrong use of the command; verdict DO NOT START,
or a record that is not complete."""


def add_job(parser: argparse.ArgumentParser) -> None:
    """Add the job file as the first argument."""
    parser.add_argument("job", type=Path, metavar="JOB", help="the job file (YAML)")


def plan_of(path: Path) -> Plan | None:
    """Read and calculate the job; print its faults and return None if it has any."""
    from packet.jobfile import JobFaults, load_job
    from packet.plans.branch_circuit import plan

    try:
        return plan(load_job(path))
    except JobFaults as faults:
        print(faults, file=sys.stderr)
        return None


def status(ledger: Ledger) -> int:
    """Return the exit status that a finished job's verdict stands for."""
    from packet.ledger import Verdict

    return DO_NOT_START if ledger.verdict is Verdict.FALLS_SHORT else DONE
