"""The command line: which commands there are, and how a run of one ends. No rule, no page."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from packet import __version__
from packet.commands import (
    DONE,
    WRONG_USE,
    build,
    check,
    options,
    record,
    reopen,
    schema,
    start,
    survey,
    values,
    why,
)

COMMANDS = (
    start,
    survey,
    options,
    check,
    build,
    record,
    reopen,
    values,
    why,
    schema,
)
"""In the order in which the help lists them."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status.

    0 done; 1 a file that was given has faults; 2 wrong use of the command; 3 the findings say
    DO NOT START, or a record is not complete (what may be printed was printed).
    """
    given = _parser().parse_args(arguments)
    try:
        return int(given.run(given))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        print("packet: stopped", file=sys.stderr)
        return WRONG_USE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="packet", description="One job file in, one printed work packet out."
    )
    parser.add_argument("--version", action="version", version=f"packet {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in COMMANDS:
        name = command.__name__.rpartition(".")[2].replace("_", "-")
        own = commands.add_parser(name, help=command.HELP)
        command.add(own)
        own.set_defaults(run=command.run)
    return parser
