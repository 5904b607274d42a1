"""`packet options JOB`: work out what could be built instead, and print it side by side."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from packet.commands import DONE, FAULTS, WRONG_USE, add_job
from packet.commands.build import tell_what_is_missing
from packet.language import speaking
from packet.resources import PAPERS, PRINTS, language_of, languages

if TYPE_CHECKING:
    from packet.sheets.views import OptionRow, SheetSet

HELP = "work out what could be built instead, and print it side by side"

FIGURES = ("cost", "hours", "charging", "drop", "spare")


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_job(parser)
    parser.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help="folder for the comparison sheet as PDF; without it, the table here is all",
    )
    parser.add_argument("--paper", choices=PAPERS, default="letter")
    parser.add_argument("--print", dest="print_size", choices=PRINTS, default="regular")
    parser.add_argument(
        "--language", choices=languages(), default="en", help="of the sheet; messages are English"
    )


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.files import write_all
    from packet.jobfile import JobFaults
    from packet.jobfile.read import read
    from packet.plans.options import compare_options
    from packet.printing import cannot_write
    from packet.sheets.options import options_set

    gc.disable()  # hundreds of plans, none of which refers back to itself
    try:
        made = compare_options(read(options.job))
    except JobFaults as faults:
        print(faults, file=sys.stderr)
        return FAULTS
    if made is None:
        print(
            f"packet: `{options.job}` has no section `options`: it says what could be built"
            " instead; `jobs/garage-receptacle.yaml` has one",
            file=sys.stderr,
        )
        return FAULTS
    for line in _table(options_set(made)):
        print(line)
    if options.out is None:
        return DONE
    tell_what_is_missing(options.language)
    ending = "" if options.language == "en" else f"-{options.language}"
    ending += "" if options.print_size == "regular" else f"-{options.print_size}"
    with speaking(language_of(options.language)):
        from packet.render import RenderFault, pdf

        try:
            content = pdf(options_set(made), options.paper, (), options.print_size)
        except RenderFault as fault:
            print(f"packet: nothing was printed: {fault}", file=sys.stderr)
            return FAULTS
    try:
        targets = write_all(options.out, {f"{options.job.stem}-options{ending}.pdf": content})
    except OSError as fault:
        print(cannot_write(options.out, fault), file=sys.stderr)
        return WRONG_USE
    for target in targets:
        print(target)
    return DONE


def _table(made: SheetSet) -> Iterable[str]:
    """Yield the comparison as lines for a terminal."""
    from packet.sheets.views import Options

    (sheet,) = made.sheets
    if not isinstance(sheet, Options):
        raise TypeError(f"a set of options holds sheet {sheet.letter}")
    for fact in sheet.counts:
        yield f"{fact.value:>6}  {fact.label}"
    head = ("cost", "work", "charge", "drop", "spare")
    yield ""
    yield f"{'':4}" + "".join(f"{word:>13}" for word in head)
    rows = [("now", sheet.own), *((row.number, row) for row in sheet.kept)]
    for number, row in rows:
        yield f"{number:<4}" + "".join(f"{_plain(value):>13}" for value in _figures(row))
        yield f"{'':4}{'; '.join(row.what)}"
        beaten = f"beaten by {row.beaten_by}; " if row.beaten_by else ""
        outcome = row.outcome.value.replace("_", " ")
        yield f"{'':4}{beaten}{outcome}{''.join(f'; {one}' for one in row.remarks)}"
    for reason in sheet.reasons:
        yield f"{reason.count:>6}  fall short: {reason.asks} {reason.says}"
    for one in sheet.keys:
        yield f"{one.number:<4}" + "; ".join(one.lines)


def _figures(row: OptionRow) -> Iterable[str]:
    return (getattr(row, name) or "not known" for name in FIGURES)


def _plain(text: str) -> str:
    return text.replace("\u00a0", " ")
