"""What must hold of any job file whatever: a verdict, or problems that say where."""

from __future__ import annotations

import re
from pathlib import Path

from packet.findings import verdict_words, worst_first
from packet.jobfile import JobFaults, load_job
from packet.listing import as_json
from packet.plans.branch_circuit import plan
from packet.sheets.sets import SETS

HEADING = re.compile(r"^(?P<file>.+):(?P<line>[0-9]+):(?P<column>[0-9]+): error\[[YJ][0-9]{3}\]: .")


def judged(path: Path, *, sheets: bool = True) -> str:
    """Return how the job file ended: the word of its verdict, or the codes of its problems.

    Raises
    ------
    AssertionError
        When a message gives no place in the file, or prints what a terminal would obey.
    Exception
        Whatever else was raised on the way is a fault of ours.
    """
    try:
        planned = plan(load_job(path))
    except JobFaults as faults:
        lines = path.read_bytes().replace(b"\r\n", b"\n").split(b"\n")
        for problem in faults.problems:
            place = problem.span
            heading = HEADING.match(str(problem))
            assert heading, problem
            assert 1 <= place.line <= len(lines), problem
            assert 1 <= place.column <= len(lines[place.line - 1]) + 1, problem
            assert "\n" not in problem.error + problem.help, problem
        said = str(faults)
        assert said.endswith("nothing was printed")
        assert all(sign.isprintable() or sign == "\n" for sign in said), said
        return " ".join(sorted({problem.code for problem in faults.problems}))
    found = list(worst_first(planned.ledger))
    printed = [f"{one.place}{one.says}{one.who}{one.source}" for one in found]
    assert all(sign.isprintable() or sign == "\u00a0" for line in printed for sign in line), printed
    assert verdict_words(planned.ledger)
    if sheets:
        as_json(planned.ledger)
        for made in SETS.values():
            made(planned)
    return planned.ledger.verdict.name
