"""`packet record JOB FILLED`: judge what was written on a packet, and print the record of it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from packet.commands import DO_NOT_START, DONE, FAULTS, WRONG_USE, add_job, plan_of
from packet.files import write_all
from packet.resources import PAPERS

if TYPE_CHECKING:
    from packet.finish import Attached
    from packet.plans.branch_circuit import Plan
    from packet.render import Field
    from packet.returned import Returned
    from packet.sheets.views import RecordOfWork

HELP = "judge a filled packet, and print the record of what was built"

MOST_TOLD = 12
"""Values that a refusal names; the number of all is told too."""

YAML = (".yaml", ".yml")


def add(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_job(parser)
    parser.add_argument(
        "filled",
        type=Path,
        metavar="FILLED",
        help="the packet as it was filled in on screen (PDF), or a file of readings (YAML)",
    )
    parser.add_argument(
        "--out", type=Path, default=Path(), metavar="DIR", help="folder for the record"
    )
    parser.add_argument("--paper", choices=PAPERS, default="letter")


def run(options: argparse.Namespace) -> int:
    """Run the command and return its exit status."""
    from packet.jobfile import JobFaults
    from packet.render import RenderFault, fields
    from packet.returned import NotReadable
    from packet.sheets.record import forms_set

    planned = plan_of(options.job)
    if planned is None:
        return FAULTS
    if not _has_forms(planned):
        print(
            f"packet: `{options.job}` comes out DO NOT START today: its packet has nothing to fill"
            " in, so nothing was recorded; `packet check` says what falls short",
            file=sys.stderr,
        )
        return DO_NOT_START
    try:
        blanks = fields(forms_set(planned))
        returned = _returned(options.filled, planned, blanks)
    except JobFaults as faults:
        print(faults, file=sys.stderr)
        return FAULTS
    except (NotReadable, RenderFault) as fault:
        print(f"packet: `{options.filled}`: {fault}", file=sys.stderr)
        return FAULTS
    refused = list(_unlike(options.job, planned, returned))
    if refused:
        print("\n".join(refused), file=sys.stderr)
        return FAULTS
    return _record(options, planned, returned, blanks)


def _has_forms(planned: Plan) -> bool:
    from packet.ledger import Verdict

    return planned.installed is not None and planned.ledger.verdict is not Verdict.FALLS_SHORT


def _returned(path: Path, planned: Plan, blanks: dict[str, Field]) -> Returned:
    from packet.plans.record import units
    from packet.returned.pdf import filled_packet
    from packet.returned.sheet import readings_file

    if path.suffix.lower() not in YAML:
        return filled_packet(path)
    takes = units(planned.installed) if planned.installed else {}
    return readings_file(path, {name: one.is_tick for name, one in blanks.items()}, takes)


def _unlike(job: Path, planned: Plan, returned: Returned) -> Iterator[str]:
    """Yield why the packet does not belong to the job as it stands, nothing where it does."""
    from packet.listing import as_json
    from packet.returned.made import differences, made_of
    from packet.showing import stamp

    now = stamp(planned.ledger)
    if returned.stamp == now:
        return
    yield (
        f"packet: the sheets that were filled in are of packet {returned.stamp}, and `{job}` gives"
        f" packet {now} today; nothing was recorded"
    )
    if returned.made is None:
        yield "    which values differ cannot be told: no values came with the sheets"
    else:
        today = made_of(as_json(planned.ledger))
        differ = list(differences(returned.made, today))
        if not differ:
            yield "    no value differs, but the rows of its sheets stand otherwise"
        for one in differ[:MOST_TOLD]:
            yield f"    {one.name}: {one.then or 'not there'} then, {one.now or 'not there'} now"
        if len(differ) > MOST_TOLD:
            yield f"    and {len(differ) - MOST_TOLD} more"
    yield (
        "    = help: record it with the job file as it was then, which `packet reopen` takes out of"
        " a packet; or work by a packet built anew"
    )


def _record(
    options: argparse.Namespace, planned: Plan, returned: Returned, blanks: dict[str, Field]
) -> int:
    from packet.plans.record import record
    from packet.printing import attached, cannot_write
    from packet.render import RenderFault, pdf
    from packet.sheets.record import record_set
    from packet.sheets.views import RecordOfWork

    judged = record(planned, returned.written)
    tips = {name: one.tip for name, one in blanks.items()}
    made = record_set(planned, judged, returned.written, tips)
    sheet = made.sheets[0]
    if not isinstance(sheet, RecordOfWork):
        raise TypeError("the first sheet of a record is sheet R")
    name = f"{options.job.stem}-as-built.pdf"
    if (options.out / name).resolve() == options.filled.resolve():
        print(f"packet: the record would be written over `{options.filled}`", file=sys.stderr)
        return WRONG_USE
    try:
        inside = [*attached(options.job, planned.ledger), _readings(options.job, returned)]
        content = pdf(made, options.paper, inside)
    except RenderFault as fault:
        print(f"packet: nothing was printed: {fault}", file=sys.stderr)
        return FAULTS
    try:
        (target,) = write_all(options.out, {name: content})
    except OSError as fault:
        print(cannot_write(options.out, fault), file=sys.stderr)
        return WRONG_USE
    for line in _told(sheet):
        print(line)
    print(target)
    return DONE if sheet.verdict == "complete" else DO_NOT_START


def _readings(job: Path, returned: Returned) -> Attached:
    """Return what was written as a file of readings, to travel inside the record."""
    import json

    from packet import resources
    from packet.finish import Attached

    lines = [f"values: {returned.stamp}"]
    lines += [
        f"{name}: {json.dumps(text, ensure_ascii=False)}" for name, text in returned.written.items()
    ]
    return Attached(
        f"{job.stem}-readings.yaml",
        ("\n".join(lines) + "\n").encode(),
        "application/yaml",
        resources.texts("attached")["readings"],
        "Data",
    )


def _told(sheet: RecordOfWork) -> Iterator[str]:
    """Yield what is wrong, what is missing and what the readings point to, the verdict last."""
    for one in sheet.outside:
        yield f"{one.number}: outside: {one.item}: {one.says}"
        yield f"    {one.action}"
        if one.rule:
            yield f"    {one.rule}"
    for fault in sheet.faults:
        yield f"likely: {fault.name}. {fault.do}"
        yield f"    source: {fault.source}"
    for line in sheet.missing:
        yield f"missing: {line}"
    yield sheet.verdict_words
