"""`packet why JOB NAME`: one value walked back to what it rests on."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

from packet.commands import DONE, FAULTS, WRONG_USE, add_job, plan_of

if TYPE_CHECKING:
    from packet.ledger import Entry

HELP = "walk one value back to what it rests on"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_job(parser)
    parser.add_argument("name", metavar="NAME", help="a value's name, as `values` lists it")


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from difflib import get_close_matches

    planned = plan_of(options.job)
    if planned is None:
        return FAULTS
    entry = planned.ledger.get(options.name)
    if entry is None:
        near = get_close_matches(options.name, planned.ledger.entries, n=3)
        hint = f"; did you mean {', '.join(f'`{name}`' for name in near)}?" if near else ""
        print(f"packet: this job has no value `{options.name}`{hint}", file=sys.stderr)
        return WRONG_USE
    for line in _walked(entry, 0):
        print(line)
    return DONE


def _walked(entry: Entry, depth: int) -> Iterator[str]:
    from packet import words
    from packet.listing import source_of
    from packet.showing import show_formula, show_in_full, show_substituted

    indent = "  " * depth
    label = words.word(entry.name).label
    yield f"{indent}{entry.name}: {show_in_full(entry)}  ({label}; {source_of(entry)})"
    if entry.formula:
        yield f"{indent}  = {show_formula(entry)}"
        yield f"{indent}  = {show_substituted(entry)}"
    for _, source in entry.inputs:
        yield from _walked(source, depth + 1)
