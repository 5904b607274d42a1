"""`packet build JOB`: print the packet."""

from __future__ import annotations

import argparse
import errno
import gc
import os
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from packet.commands import FAULTS, WRONG_USE, add_job, plan_of, status
from packet.language import speaking
from packet.resources import PAPERS, PRINTS, language_of, languages

if TYPE_CHECKING:
    from packet.finish import Attached
    from packet.ledger import Ledger

HELP = "print the packet as PDF"

READERS = ("clipboard", "client", "permit")
"""Whom a set of sheets is for, and the end of its file's name."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_job(parser)
    parser.add_argument(
        "--out", type=Path, default=Path(), metavar="DIR", help="folder for the PDF files"
    )
    parser.add_argument(
        "--for",
        dest="reader",
        choices=(*READERS, "all"),
        default="clipboard",
        help="whom to print for: the clipboard in the garage (what you get without this option), "
        "the client who signs, the permit office, or all three, each in a file of its own",
    )
    parser.add_argument("--paper", choices=PAPERS, default="letter")
    parser.add_argument(
        "--print",
        dest="print_size",
        choices=PRINTS,
        default="regular",
        help="size of the print: regular, 12 point text on upright pages (what you get without "
        "this option), or large, 18 point text set anew on pages that lie on their side; large "
        "print comes in files of its own",
    )
    parser.add_argument(
        "--language", choices=languages(), default="en", help="of the pages; messages are English"
    )


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    planned = plan_of(options.job)
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
    return status(planned.ledger)


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
