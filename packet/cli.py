"""The command line: arguments, exit status, and printing what went wrong. No rule, no page."""

from __future__ import annotations

import argparse
import errno
import gc
import os
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from packet import __version__
from packet.language import speaking
from packet.resources import PAPERS, PRINTS, language_of, languages

if TYPE_CHECKING:
    from packet.finish import Attached
    from packet.ledger import Entry, Ledger
    from packet.plans.branch_circuit import Plan

READERS = ("clipboard", "client", "permit")
"""Whom a set of sheets is for, and the end of its file's name."""

DONE, FAULTS, WRONG_USE, DO_NOT_START = 0, 1, 2, 3


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status.

    0 done; 1 the job file has faults; 2 wrong use of the command; 3 the findings say
    DO NOT START (what may be printed was printed).
    """
    options = _parser().parse_args(arguments)
    try:
        return int(options.run(options))
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

    check = commands.add_parser("check", help="read, calculate, list the findings; no PDF")
    build = commands.add_parser("build", help="print the packet as PDF")
    values = commands.add_parser("values", help="list every value with formula and source")
    why = commands.add_parser("why", help="walk one value back to what it rests on")
    for command in (check, build, values, why):
        command.add_argument("job", type=Path, metavar="JOB", help="the job file (YAML)")
    build.add_argument(
        "--out", type=Path, default=Path(), metavar="DIR", help="folder for the PDF files"
    )
    build.add_argument(
        "--for",
        dest="reader",
        choices=(*READERS, "all"),
        default="clipboard",
        help="whom to print for: the clipboard in the garage (what you get without this option), "
        "the client who signs, the permit office, or all three, each in a file of its own",
    )
    build.add_argument("--paper", choices=PAPERS, default="letter")
    build.add_argument(
        "--print",
        dest="print_size",
        choices=PRINTS,
        default="regular",
        help="size of the print: regular, 12 point text on upright pages (what you get without "
        "this option), or large, 18 point text set anew on pages that lie on their side; large "
        "print comes in files of its own",
    )
    build.add_argument(
        "--language", choices=languages(), default="en", help="of the pages; messages are English"
    )
    values.add_argument("--json", action="store_true", help="as JSON, one object per value")
    why.add_argument("name", metavar="NAME", help="a value's name, as `values` lists it")
    check.set_defaults(run=_check)
    build.set_defaults(run=_build)
    values.set_defaults(run=_values)
    why.set_defaults(run=_why)
    return parser


def _planned(path: Path) -> Plan | None:
    """Read and calculate the job; print its faults and return None if it has any."""
    from packet.jobfile import JobFaults, load_job
    from packet.plans.branch_circuit import plan

    try:
        return plan(load_job(path))
    except JobFaults as faults:
        print(faults, file=sys.stderr)
        return None


def _status(ledger: Ledger) -> int:
    from packet.ledger import Verdict

    return DO_NOT_START if ledger.verdict is Verdict.FALLS_SHORT else DONE


def _check(options: argparse.Namespace) -> int:
    from packet.findings import verdict_words, worst_first

    planned = _planned(options.job)
    if planned is None:
        return FAULTS
    for finding in worst_first(planned.ledger):
        place = f"{finding.place}: " if finding.place else ""
        print(f"{place}{finding.verdict.value}: {finding.says}")
        if finding.who:
            print(f"    who can tell: {finding.who}")
        print(f"    source: {finding.source}")
    print(verdict_words(planned.ledger))
    return _status(planned.ledger)


def _build(options: argparse.Namespace) -> int:
    planned = _planned(options.job)
    if planned is None:
        return FAULTS
    language = language_of(options.language)
    if language.missing:
        print(
            f"packet: the catalog `{options.language}` lacks {language.missing} of"
            f" {language.texts} texts; they are printed in English",
            file=sys.stderr,
        )
    ending = "" if options.language == "en" else f"-{options.language}"
    ending += "" if options.print_size == "regular" else f"-{options.print_size}"
    with _progress(options.job.name), speaking(language):
        from packet.render import RenderFault, pdf
        from packet.sheets.sets import SETS

        gc.disable()  # a render makes some 10^5 objects that live until the end
        readers = READERS if options.reader == "all" else (options.reader,)
        try:
            attached = _attached(options.job, planned.ledger)
            contents = {
                f"{options.job.stem}-{reader}{ending}.pdf": pdf(
                    SETS[reader](planned),
                    options.paper,
                    attached if reader == "clipboard" else (),
                    options.print_size,
                )
                for reader in readers
            }
        except RenderFault as fault:
            print(f"packet: nothing was printed: {fault}", file=sys.stderr)
            return FAULTS
    try:
        targets = _written(options.out, contents)
    except OSError as fault:
        print(f"packet: cannot write to `{options.out}`: {fault.strerror}", file=sys.stderr)
        return WRONG_USE
    for target in targets:
        print(target)
    return _status(planned.ledger)


def _attached(job: Path, ledger: Ledger) -> list[Attached]:
    """Return what travels inside the clipboard set: the job file as typed, and every value.

    The other sets go to people who are not shown what the electrician pays and adds.
    """
    from packet import resources
    from packet.finish import Attached
    from packet.listing import as_json

    says = resources.texts("attached")
    return [
        Attached(job.name, job.read_bytes(), "application/yaml", says["job"], "Source"),
        Attached(
            f"{job.stem}-values.json",
            f"{as_json(ledger)}\n".encode(),
            "application/json",
            says["values"],
            "Data",
        ),
    ]


def _written(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write all files whole or none; older ones stay until every new one is complete."""
    folder.mkdir(parents=True, exist_ok=True)
    parts = {folder / f".{name}.part": folder / name for name in contents}
    try:
        for part, content in zip(parts, contents.values(), strict=True):
            with part.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for target in parts.values():
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, "a folder has the name of a file", target)
        for part, target in parts.items():
            part.replace(target)
    except OSError:
        for part in parts:
            if part.is_file():
                part.unlink()
        raise
    return list(parts.values())


@contextmanager
def _progress(name: str, stream: TextIO = sys.stderr) -> Iterator[None]:
    """Show one line while a packet is being built, on a terminal only."""
    start = time.monotonic()
    if stream.isatty():
        stream.write(f"printing {name} ...")
        stream.flush()
    yield
    if stream.isatty():
        stream.write(f"\rprinted {name} in {time.monotonic() - start:.1f} s\n")


def _values(options: argparse.Namespace) -> int:
    from packet.listing import as_json, listed

    planned = _planned(options.job)
    if planned is None:
        return FAULTS
    if options.json:
        print(as_json(planned.ledger))
    else:
        for line in listed(planned.ledger):
            formula = f"  = {line['formula']}" if line["formula"] else ""
            print(f"{line['name']}: {line['value']}{formula}  [{line['source']}]")
    return _status(planned.ledger)


def _why(options: argparse.Namespace) -> int:
    from difflib import get_close_matches

    planned = _planned(options.job)
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
