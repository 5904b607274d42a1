"""`packet values JOB`: every value with formula and source."""

from __future__ import annotations

import argparse

from packet.commands import FAULTS, add_job, plan_of, status

HELP = "list every value with formula and source"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_job(parser)
    parser.add_argument("--json", action="store_true", help="as JSON, one object per value")


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.listing import as_json, listed

    planned = plan_of(options.job)
    if planned is None:
        return FAULTS
    if options.json:
        print(as_json(planned.ledger))
    else:
        for line in listed(planned.ledger):
            formula = f"  = {line['formula']}" if line["formula"] else ""
            print(f"{line['name']}: {line['value']}{formula}  [{line['source']}]")
    return status(planned.ledger)
