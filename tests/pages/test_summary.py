"""Sheet A is one page whatever has to stand on it; what its front cannot hold is on the back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from packet import render
from packet.jobfile import load_job
from packet.language import said, speaking
from packet.plans.branch_circuit import plan
from packet.sheets import sets, views
from tests.demos.conftest import JOBS, NAMES, planned
from tests.language.pseudo import pseudo_language
from tests.pages import checks

UNKNOWN = (
    ("owner_may_do_work: yes", "owner_may_do_work: unknown"),
    ("bus_rating: 200 A", "bus_rating: unknown"),
    ("available_fault_current: 6.8 kA", "available_fault_current: unknown"),
    ("new_breaker_listed_for_panel: yes", "new_breaker_listed_for_panel: unknown"),
    ("indoor_charging_listed: yes", "indoor_charging_listed: unknown"),
    ("volume: 42 in3", "volume: unknown"),
    ("torque: 45 lbf-in", "torque: unknown"),
)
"""Answers of the garage job, of each of which something is asked when it is missing."""


def pages_of_summary(made: views.SheetSet) -> checks.Printed:
    """Print the summary with the list of all sheets that follow it, but without them."""
    whole = render.html(made, "letter")
    start = whole.index("<section")
    others = whole.find("<section", start + 1)
    alone = whole if others < 0 else whole[:others] + "</body></html>"
    return checks.printed_html(alone)


def not_one_front(made: views.SheetSet) -> list[str]:
    """Return the faults of a summary that is no single front with its back behind it."""
    front, *others = (" ".join(text.split()) for text in pages_of_summary(made).texts)
    summary = made.sheets[0]
    assert isinstance(summary, views.Summary)
    faults = [] if len(others) == 1 else [f"{len(others)} pages behind the front"]
    if front.count(said("inch")) != 1:
        faults.append("the bar for the ruler is not on the front")
    for shown, where in (
        ((*summary.first, *summary.reasons), front),
        ((*summary.more, *summary.more_reasons), " ".join(others)),
    ):
        texts = [" ".join(one.text.split()) for one in shown]
        faults += [f"`{text}` is missed" for text in texts if where.count(text) != 1]
    return faults


@pytest.mark.parametrize("name", NAMES)
def test_the_summary_has_one_front_in_a_language_a_third_longer(name: str) -> None:
    with speaking(pseudo_language()):
        assert not_one_front(sets.clipboard_set(planned(name))) == []


def changed(name: str, changes: tuple[tuple[str, str], ...], tmp_path: Path) -> views.SheetSet:
    text = next(path for path in JOBS if path.stem == name).read_text("utf-8")
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after, 1)
    job = tmp_path / f"{name}.yaml"
    job.write_text(text, "utf-8")
    return sets.clipboard_set(plan(load_job(job)))


@pytest.mark.parametrize("count", [3, 5, len(UNKNOWN)])
def test_however_many_answers_are_missing(count: int, tmp_path: Path) -> None:
    made = changed("garage-receptacle", UNKNOWN[:count], tmp_path)
    summary = made.sheets[0]
    assert isinstance(summary, views.Summary)
    assert len(summary.first) + len(summary.more) >= count
    assert bool(summary.more) == (count > 4) or len(summary.first) < 4
    assert not_one_front(made) == []


LONG = "Charging receptacle in the attached garage of the house behind the old cooperage, "


def test_a_long_title_and_address_take_rows_not_pages(tmp_path: Path) -> None:
    changes = (
        ("Charging receptacle in the attached garage", LONG + "second circuit"),
        ("address: ", "address: Flat over the boat house, at the end of the upper towpath, "),
    )
    made = changed("garage-receptacle", changes, tmp_path)
    assert not_one_front(made) == []


SHORT = (
    ("  interrupting_rating: 10 kA", "  interrupting_rating: 5 kA"),
    ("device_interrupting_rating: 10 kA", "device_interrupting_rating: 5 kA"),
    ("width: 31 in, depth: 40 in, height: 82 in", "width: 20 in, depth: 20 in, height: 40 in"),
    ("door_opens: 95 deg", "door_opens: 60 deg"),
)
"""More that falls short in the job that may not start."""


def test_reasons_that_the_front_cannot_hold_stand_on_the_back(tmp_path: Path) -> None:
    made = changed("full-service", SHORT, tmp_path)
    summary = made.sheets[0]
    assert isinstance(summary, views.Summary)
    assert len(summary.reasons) > 3
    assert len(summary.more_reasons) > 0
    assert not_one_front(made) == []


def test_a_summary_that_runs_over_is_caught() -> None:
    made = sets.clipboard_set(planned("full-service"))
    summary = made.sheets[0]
    assert isinstance(summary, views.Summary)
    crowded = replace(summary, key_values=summary.key_values * 4)
    faults = not_one_front(replace(made, sheets=(crowded, *made.sheets[1:])))
    assert "the bar for the ruler is not on the front" in faults
