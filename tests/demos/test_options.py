"""The comparison sheet of a demo: clean pages, numbers of the ledgers, the table on a terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from packet import cli
from packet.jobfile.read import read
from packet.ledger import Ledger
from packet.plans.options import Comparison, compare_options
from packet.sheets.options import options_set
from packet.sheets.views import Outcome, SheetSet
from packet.showing import show
from tests.demos.conftest import JOBS
from tests.demos.test_pages import numbers
from tests.pages import checks
from tests.pages.validators import VALIDATORS

JOB = next(path for path in JOBS if path.stem == "garage-receptacle")
FEWER = (
    ("last: 10 ft", "last: 6 ft"),
    ("    - {nameplate_current: 40 A, setting: 24 A}\n", ""),
    ("    - {method: PVC-40, insulation: THHN/THWN-2, bends: 180 deg}\n", ""),
    ("load_methods: [standard, optional]", "load_methods: [optional]"),
    ("  electrician:\n    name: Odile Farrow\n    hourly_rate: 94 USD\n    hours_factor: 1\n", ""),
    ("item: 60-2-pole-gfci-breaker", "item: a-breaker-without-a-price"),
)
"""Two places, chargers, methods and metals; the larger breaker without a price."""


@pytest.fixture(scope="module", name="job")
def _job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    text = JOB.read_text("utf-8")
    for old, new in FEWER:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    file = tmp_path_factory.mktemp("options") / "garage.yaml"
    file.write_text(text, "utf-8")
    return file


@cache
def compared(job: Path) -> Comparison:
    made = compare_options(read(job))
    assert made is not None
    return made


@cache
def sheets(job: Path) -> SheetSet:
    return options_set(compared(job))


def test_the_sheet_is_without_a_fault_on_both_papers(job: Path) -> None:
    letter, a4 = checks.printed(sheets(job), "letter"), checks.printed(sheets(job), "a4")
    assert checks.every_fault(letter, sheets(job)) == []
    assert checks.unlike_papers(letter, a4) == []
    assert checks.margin_collisions(a4) == []


def test_the_sheet_is_without_a_fault_in_large_print(job: Path) -> None:
    large = checks.printed(sheets(job), "letter", "large")
    assert checks.every_fault(large, sheets(job), checks.SMALLEST_LARGE_TYPE) == []


@pytest.mark.parametrize("by", ["page-validation", "qpdf"])
def test_no_validator_complains(job: Path, by: str) -> None:
    assert VALIDATORS[by](checks.printed(sheets(job), "letter").content) == []


def ledgers(made: Comparison) -> Iterator[Ledger]:
    yield made.own.worked.ledger
    yield from (one.worked.ledger for one in made.kept)
    yield from (one.example.ledger for one in made.by_choice if one.example)
    yield from (one.best.worked.ledger for one in made.by_cord if one.best)
    yield from (one.ledger for one in made.reasons)


def test_every_number_with_a_unit_is_a_shown_value_of_an_option(job: Path) -> None:
    """Keys to change are held by a test of their own: they are what the file is to say."""
    made = compared(job)
    known: set[str] = set()
    for ledger in ledgers(made):
        for entry in ledger:
            known |= numbers(show(entry))
            known |= {one for cite in entry.cite for one in numbers(cite.at)}
    for one in made.kept:
        known |= {n for text in one.worked.option.changes.values() if text for n in numbers(text)}
    texts = checks.printed(sheets(job), "letter").texts
    assert set().union(*map(numbers, texts)) - known == set()


def test_what_is_beaten_is_struck_out_by_word_and_line(job: Path) -> None:
    """The own job is beaten by the same a few feet nearer; what falls short says why."""
    made, texts = compared(job), checks.printed(sheets(job), "letter").texts
    text = re.sub(r"\s+", " ", " ".join(texts))
    assert made.own.beaten_by is not None
    beaten = 1 + sum(one.best.beaten_by is not None for one in made.by_choice if one.best)
    assert text.count(f"BEATEN BY {made.own.beaten_by}") >= 1
    assert text.count("BEATEN BY") == beaten
    assert "NOT KNOWN" in text
    assert "FALLS SHORT" in text
    assert "is marked for copper only, and the wire is aluminum" in text


def test_a_job_that_falls_short_may_be_compared(job: Path, tmp_path: Path) -> None:
    """It is where choices are looked for most; no sheet to work by is among them."""
    text = job.read_text("utf-8").replace("  spaces: 30\n", "  spaces: 20\n")
    spaces = "  spaces: [19, 21]                # two free spaces, one above the other\n"
    text = text.replace(spaces, "")
    text = text.replace("- {spaces: [18], rating: 15 A", "- {spaces: [18, 19, 20], rating: 15 A")
    file = tmp_path / "full.yaml"
    file.write_text(text, "utf-8")
    made = compare_options(read(file))
    assert made is not None
    assert made.kept == ()
    found = options_set(made)
    assert (found.outcome, found.letters) == (Outcome.DO_NOT_START, "W")
    printed = checks.printed(found, "letter")
    assert checks.every_fault(printed, found) == []
    assert "Every option falls short." in " ".join(printed.texts)


def test_the_command_prints_a_table_and_the_sheet(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["options", str(job), "--out", str(tmp_path)]) == 0
    out = capsys.readouterr().out
    assert (tmp_path / "garage-options.pdf").read_bytes().startswith(b"%PDF")
    assert out.splitlines()[-1] == str(tmp_path / "garage-options.pdf")
    assert "    16  options worked out" in out
    assert "not known" in out
    assert "route.2.length: 7 ft" in out


def test_a_job_without_options_is_told_where_to_find_some(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "job.yaml"
    file.write_text(JOB.read_text("utf-8").partition("\noptions:")[0] + "\n", "utf-8")
    assert cli.main(["options", str(file)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "has no section `options`" in said.err
