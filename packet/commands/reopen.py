"""`packet reopen PACKET`: give back what travels inside a packet, and say what is new since."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from packet.commands import DONE, FAULTS, WRONG_USE, plan_of
from packet.files import write_all

if TYPE_CHECKING:
    from packet.returned.made import Made
    from packet.returned.pdf import Inside

HELP = "take the job file and the values out of a packet, and say what would differ today"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument(
        "packet", type=Path, metavar="PACKET", help="a clipboard set (PDF), filled in or not"
    )
    parser.add_argument(
        "--out", type=Path, default=Path(), metavar="DIR", help="folder for the two files"
    )
    parser.add_argument(
        "--replace", action="store_true", help="write over files of the same name that differ"
    )


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.printing import cannot_write
    from packet.returned import NotReadable
    from packet.returned.pdf import files_inside

    try:
        inside = files_inside(options.packet)
    except NotReadable as fault:
        print(f"packet: `{options.packet}`: {fault}", file=sys.stderr)
        return FAULTS
    contents = {inside.job_name: inside.job, inside.values_name: inside.values}
    kept = [] if options.replace else list(_others(options.out, contents))
    if kept:
        print(
            f"packet: nothing was written: {', '.join(f'`{path}`' for path in kept)} is there and"
            " differs; add `--replace` to write over it, or name another folder with `--out`",
            file=sys.stderr,
        )
        return WRONG_USE
    try:
        targets = write_all(options.out, contents)
    except OSError as fault:
        print(cannot_write(options.out, fault), file=sys.stderr)
        return WRONG_USE
    for target in targets:
        print(target)
    return _compare(targets[0], inside)


def _others(folder: Path, contents: dict[str, bytes]) -> Iterator[Path]:
    """Yield what stands in the way: anything of the same name with other content."""
    for name, content in contents.items():
        path = folder / name
        if path.is_symlink() or (
            path.exists() and not (path.is_file() and path.read_bytes() == content)
        ):
            yield path


def _compare(job: Path, inside: Inside) -> int:
    """Work the job out today and say what would differ."""
    from packet.listing import as_json
    from packet.returned.made import made_of

    planned = plan_of(job)
    if planned is None:
        return FAULTS
    for line in _said(inside.made, made_of(as_json(planned.ledger))):
        print(line)
    return DONE


def _said(then: Made, now: Made) -> Iterator[str]:
    from packet.returned.made import differences

    for what, old, new in (
        ("tool", then.tool, now.tool),
        ("edition of the code", then.edition, now.edition),
        ("figures of the code book", then.code_book, now.code_book),
    ):
        if old != new:
            yield f"{what}: {old or 'not told'} then, {new} now"
    differ = list(differences(then, now))
    for one in differ:
        yield f"{one.name}: {one.then or 'not there'} then, {one.now or 'not there'} now"
    if differ:
        ended = "value or verdict differs" if len(differ) == 1 else "values or verdicts differ"
        yield f"{len(differ)} {ended}; built today it would be packet {now.stamp}"
    else:
        yield f"nothing differs; built today it would again be packet {now.stamp}"
