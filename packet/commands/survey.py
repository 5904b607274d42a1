"""`packet survey`: the questions on paper, to be carried to a house."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from packet.commands import DONE, FAULTS, WRONG_USE
from packet.language import speaking
from packet.resources import PAPERS, PRINTS, language_of, languages

HELP = "print the questions of `start` as a sheet to carry to the house"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument(
        "--out", type=Path, default=Path(), metavar="DIR", help="folder for the PDF file"
    )
    parser.add_argument("--paper", choices=PAPERS, default="letter")
    parser.add_argument(
        "--print",
        dest="print_size",
        choices=PRINTS,
        default="regular",
        help="size of the print: regular, or large on pages that lie on their side",
    )
    parser.add_argument("--language", choices=languages(), default="en", help="of the pages")


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.files import write_all

    with speaking(language_of(options.language)):
        from packet.render import RenderFault, pdf
        from packet.sheets.survey import survey_set

        try:
            content = pdf(survey_set(), options.paper, (), options.print_size)
        except RenderFault as fault:
            print(f"packet: nothing was printed: {fault}", file=sys.stderr)
            return FAULTS
    ending = "" if options.language == "en" else f"-{options.language}"
    ending += "" if options.print_size == "regular" else f"-{options.print_size}"
    name = f"survey{ending}.pdf"
    try:
        targets = write_all(options.out, {name: content})
    except OSError as fault:
        print(f"packet: cannot write to `{options.out}`: {fault.strerror}", file=sys.stderr)
        return WRONG_USE
    print(targets[0])
    return DONE
