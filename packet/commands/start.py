"""`packet start JOB`: ask what a job file must say, and write it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from packet.commands import DONE, FAULTS, WRONG_USE

if TYPE_CHECKING:
    from packet.asking import Answers, Asked
    from packet.jobfile.model import Job

HELP = "ask the questions of a job one by one, and write its job file"

PRICED = "prices.items.*.item"
"""The question that names a material: those without a price are told with it."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument("job", type=Path, metavar="JOB", help="the job file to write (YAML)")
    parser.add_argument(
        "--answers",
        type=Path,
        metavar="FILE",
        help="answers given beforehand: YAML with the path of a key and its value on each line, "
        "such as `route.1.length: 29 ft`, or a job file; what is not in it is asked, and without "
        "a terminal nothing is asked",
    )
    parser.add_argument(
        "--replace", action="store_true", help="replace a job file that is there already"
    )


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.jobfile import JobFaults

    kept = options.job.with_name(f"{options.job.stem}-answers.yaml")
    try:
        before = _before(options, kept, asks=sys.stdin.isatty())
        if before is None:
            return WRONG_USE
        if options.answers is not None and not sys.stdin.isatty():
            return _write_whole(options.job, before)
        return _talk(options.job, kept, before)
    except JobFaults as faults:
        print(faults, file=sys.stderr)
        return FAULTS
    except OSError as fault:
        reason = (fault.strerror or str(fault)).lower()
        _complain("cannot_write", file=fault.filename or options.job, reason=reason)
        return WRONG_USE


def _before(options: argparse.Namespace, kept: Path, *, asks: bool) -> Answers | None:
    """Return the answers to begin with; None where something would be lost."""
    from packet.asking import Answers

    if options.job.is_dir():
        _complain("is_a_folder", file=options.job)
        return None
    if options.job.exists() and not options.replace:
        if not asks:
            _complain("exists", file=options.job)
            return None
        if not _agreed("replace", file=options.job):
            _complain("left_alone", file=options.job)
            return None
    source = options.answers
    in_the_way = kept.exists() and (source is None or (asks and not _same(source, kept)))
    if in_the_way and not asks:
        _complain("answers_exist", file=kept)
        return None
    if in_the_way and not _agreed("go_on" if source is None else "replace_answers", file=kept):
        _complain("left_alone", file=kept)
        return None
    if in_the_way and source is None:
        source = kept
    if source is None:
        return Answers(str(kept))
    return Answers.read(source, whole=not asks)


def _same(one: Path, other: Path) -> bool:
    return one.exists() and one.samefile(other)


def _write_whole(job: Path, answers: Answers) -> int:
    """Write the job that whole answers make."""
    from packet.asking import job_text
    from packet.files import write_all

    write_all(job.parent, {job.name: job_text(answers).encode()})
    print(job)
    return DONE


def _talk(job: Path, kept: Path, answers: Answers) -> int:
    """Ask, and write the job, or keep the answers where the person stops before the end."""
    from packet.asking import Dialog, job_text
    from packet.asking.phrases import phrases
    from packet.files import write_all
    from packet.jobfile import JobFaults

    dialog = Dialog(answers, input, print, lambda now: _keep(kept, now), _suggest)
    if not dialog.run():
        words = "kept" if dialog.answers.said else "nothing_yet"
        print(phrases()[words].format(file=kept, job=job))
        return FAULTS
    write_all(job.parent, {job.name: job_text(dialog.answers).encode()})
    print(f"\n{phrases()['written'].format(file=job)}")
    try:
        whole = dialog.answers.job()
    except JobFaults as gaps:
        print(phrases()["gaps"])
        for problem in gaps.problems:
            print(f"  {problem.error}: {problem.help}")
        print(phrases()["then_check"].format(job=job))
        return FAULTS
    kept.unlink(missing_ok=True)
    _tell_open(whole)
    print(phrases()["next"].format(job=job))
    return DONE


def _tell_open(job: Job) -> None:
    """Say what the packet will ask, and who can tell."""
    from packet.asking.phrases import phrases
    from packet.findings import verdict_words, worst_first
    from packet.ledger import Verdict
    from packet.plans.branch_circuit import plan

    ledger = plan(job).ledger
    asked = [finding for finding in worst_first(ledger) if finding.verdict is Verdict.ASK]
    print(phrases()["verdict"].format(verdict=verdict_words(ledger), count=len(asked)))
    for finding in asked:
        print(f"  {finding.says} ({finding.who})")


def _suggest(asked: Asked, answers: Answers) -> str:
    """Return the names of the materials that have no price yet, where a material is asked for."""
    from packet.asking.phrases import phrases
    from packet.jobfile import JobFaults
    from packet.plans.branch_circuit import plan

    if asked.question.key.path != PRICED:
        return ""
    priced = {answers.text_of(path) for path in answers.said if path.startswith("prices.items.")}
    try:
        planned = plan(answers.without(*(p for p in answers.said if p.startswith("prices"))).job())
    except JobFaults:
        return ""
    if planned.shopping is None:
        return ""
    names = [line.id for line in planned.shopping.bill.lines if line.id not in priced]
    return phrases()["materials"].format(names=", ".join(names)) if names else ""


def _keep(kept: Path, answers: Answers) -> None:
    from packet.asking.phrases import phrases
    from packet.files import write_all

    lines = [phrases()["kept_head"].format(job=kept.name), *answers.lines()]
    write_all(kept.parent, {kept.name: ("\n".join(lines) + "\n").encode()})


def _agreed(words: str, **names: object) -> bool:
    from packet.asking.phrases import phrases

    print(phrases()[words].format(**names))
    while True:
        answer = input("yes or no > ").strip().lower()
        if answer in ("yes", "y"):
            return True
        if answer in ("no", "n"):
            return False


def _complain(words: str, **names: object) -> None:
    from packet.asking.phrases import phrases

    print(f"packet: {phrases()[words].format(**names)}", file=sys.stderr)
