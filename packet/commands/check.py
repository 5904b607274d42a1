"""`packet check JOB`: read, calculate, list what was found."""

from __future__ import annotations

import argparse

from packet.commands import FAULTS, add_job, plan_of, status

HELP = "read, calculate, list the findings; no PDF"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_job(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.findings import verdict_words, worst_first

    planned = plan_of(options.job)
    if planned is None:
        return FAULTS
    for finding in worst_first(planned.ledger):
        place = f"{finding.place}: " if finding.place else ""
        print(f"{place}{finding.verdict.value}: {finding.says}")
        if finding.who:
            print(f"    who can tell: {finding.who}")
        print(f"    source: {finding.source}")
    print(verdict_words(planned.ledger))
    return status(planned.ledger)
