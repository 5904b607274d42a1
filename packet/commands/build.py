"""`packet build JOB...`: print the packets."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from packet.commands import DO_NOT_START, DONE, FAULTS, WRONG_USE
from packet.problems import plain
from packet.resources import PAPERS, PRINTS, language_of, languages

if TYPE_CHECKING:
    from packet.printing import Result, Settings

HELP = "print the packet as PDF; of one job, or of many"

READERS = ("clipboard", "client", "permit")
"""Whom a set of sheets is for, and the end of its file's name."""

WORST_LAST = (DONE, DO_NOT_START, FAULTS, WRONG_USE)
"""Of many jobs, the worst status is that of the command."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument(
        "jobs",
        type=Path,
        nargs="+",
        metavar="JOB",
        help="a job file (YAML), or a folder: every job file in it",
    )
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
    parser.add_argument(
        "--replace",
        action="store_true",
        help="print even what is unchanged, and replace packets that are newer than this one or "
        "were filled in on screen",
    )
    parser.add_argument(
        "--summary",
        type=Path,
        metavar="FILE.csv",
        help="write verdict and cost of each job, and the materials of all jobs together, to a "
        "table for a spreadsheet",
    )
    parser.add_argument(
        "--processes",
        type=_count,
        metavar="N",
        help="how many processes print at the same time; all cores without this option",
    )


def _count(text: str) -> int:
    if not text.isdigit() or not 1 <= int(text) <= 1000:
        raise argparse.ArgumentTypeError(f"`{text}` is not a number from 1 to 1000")
    return int(text)


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet import files
    from packet.printing import Settings

    settings = Settings(
        options.out,
        READERS if options.reader == "all" else (options.reader,),
        options.paper,
        options.print_size,
        options.language,
        options.replace,
    )
    try:
        jobs = _job_files(options.jobs)
        _refuse_same_names(jobs, settings)
    except ValueError as fault:
        print(f"packet: {plain(str(fault))}", file=sys.stderr)
        return WRONG_USE
    tell_what_is_missing(options.language)
    files.clear_left_overs(settings.folder)
    if len(jobs) == 1 and not options.summary and not options.jobs[0].is_dir():
        return _one(jobs[0], settings, options.processes)
    return _many(jobs, settings, options)


def _job_files(given: Sequence[Path]) -> list[Path]:
    """Return every job file once, in the order given; those of a folder by name.

    Raises
    ------
    ValueError
        For a folder without a job file.
    """
    found: dict[Path, Path] = {}
    for path in given:
        inside = [path]
        if path.is_dir():
            inside = sorted(
                one
                for one in path.iterdir()
                if one.suffix in (".yaml", ".yml") and not one.name.startswith(".")
            )
            if not inside:
                raise ValueError(f"no job file (*.yaml) is in the folder `{path}`")
        for one in inside:
            found.setdefault(one.resolve(), one)
    return list(found.values())


def _refuse_same_names(jobs: Sequence[Path], settings: Settings) -> None:
    """Raise ValueError where two jobs would be printed to one file."""
    taken: dict[str, Path] = {}
    for job in jobs:
        name = settings.file_name(job, settings.readers[0])
        other = taken.setdefault(name, job)
        if other is not job:
            raise ValueError(
                f"`{other}` and `{job}` would both be printed to `{name}`; rename one of them,"
                " or print it to another folder"
            )


def tell_what_is_missing(language: str) -> None:
    """Say on the error stream how many texts a catalog lacks, if any."""
    catalog = language_of(language)
    if catalog.missing:
        print(
            f"packet: the catalog `{language}` lacks {catalog.missing} of"
            f" {catalog.texts} texts; they are printed in English",
            file=sys.stderr,
        )


def _one(job: Path, settings: Settings, processes: int | None) -> int:
    from packet.printing import print_job
    from packet.workers import cores

    with _progress(plain(job.name)):
        result = print_job(job, settings, processes or cores())
    if result.said:
        print(result.said, file=sys.stderr)
    for path in result.files:
        print(plain(str(path)))
    return _status(result)


def _status(result: Result) -> int:
    from packet.ledger import Verdict

    if result.ending == "faults":
        return FAULTS
    if result.ending == "not written":
        return WRONG_USE
    return DO_NOT_START if result.verdict is Verdict.FALLS_SHORT else DONE


def _many(jobs: Sequence[Path], settings: Settings, options: argparse.Namespace) -> int:
    from packet.batch import as_csv, as_table, print_jobs
    from packet.files import write_all
    from packet.printing import cannot_write

    results: dict[Path, Result] = {}
    countdown = _Countdown(len(jobs))
    for result in print_jobs(jobs, settings, at_once=options.processes):
        results[result.job] = result
        countdown.clear()
        if result.said:
            print(result.said, file=sys.stderr)
        countdown.show(len(results))
    countdown.clear()
    ordered = [results[job] for job in jobs]
    print(as_table(ordered))
    status = max(map(_status, ordered), key=WORST_LAST.index)
    if options.summary:
        try:
            write_all(options.summary.parent, {options.summary.name: as_csv(ordered).encode()})
        except OSError as fault:
            print(cannot_write(options.summary.parent, fault), file=sys.stderr)
            return WRONG_USE
        print(plain(str(options.summary)))
    return status


class _Countdown:
    """One line that says how many jobs are done and how long the rest takes; on a terminal only."""

    def __init__(self, jobs: int, stream: TextIO = sys.stderr) -> None:
        self.jobs = jobs
        self.stream = stream
        self.start = time.monotonic()
        self.show(0)

    def show(self, done: int) -> None:
        """Show the line for `done` jobs."""
        if not self.stream.isatty() or done == self.jobs:
            return
        left = (time.monotonic() - self.start) / done * (self.jobs - done) if done else None
        said = "" if left is None else f", about {_said_time(left)} left"
        self.stream.write(f"{done} of {self.jobs} jobs done{said}")
        self.stream.flush()

    def clear(self) -> None:
        """Take the line away."""
        if self.stream.isatty():
            self.stream.write("\r\x1b[K")
            self.stream.flush()


def _said_time(seconds: float) -> str:
    if seconds < 90:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 90 else f"{minutes // 60} h {minutes % 60} min"


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
