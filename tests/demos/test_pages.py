"""The printed demos: clean pages, no stranger among the numbers, sheets that agree."""

from __future__ import annotations

import re

import pytest

from packet import words
from packet.sheets import views
from packet.showing import show, show_in_full, stamp
from tests.demos.conftest import NAMES, planned, printed, sheets
from tests.hostile.pdfs import active
from tests.pages import checks
from tests.pages.validators import VALIDATORS

WHOLE = ["garage-receptacle", "driveway-pedestal", "cellar-subpanel"]

UNITS = "A|kA|mA|V|kVA|VA|kW|W|Ω|MΩ|ft|ft²|in|in²|in³|lbf·in|lbf·ft|N·m|°C|°|%|h|min|days?|cmil|AWG"
NUMBER = re.compile(rf"(?<![\w.,/-])(\d[\d,]*(?:\.\d+)?(?:/0)?) ?({UNITS})(?![\w³²·/])")


def numbers(text: str) -> set[str]:
    """Return every number with a unit in `text`, in one spelling."""
    return {f"{number} {unit}" for number, unit in NUMBER.findall(re.sub(r"\s+", " ", text))}


def shown_numbers(name: str) -> set[str]:
    """Return every number with a unit that the ledger of a demo shows."""
    plan = planned(name)
    texts = [form(entry) for entry in plan.ledger for form in (show, show_in_full)]
    texts += [citation.at for entry in plan.ledger for citation in entry.cite]
    texts += [citation.at for check in plan.ledger.checks.values() for citation in check.cite]
    texts += [citation.confirmed for entry in plan.ledger for citation in entry.cite]
    found: set[str] = set()
    for text in texts:
        found |= numbers(text)
    return found


FIXED = {"100 %"}
"""Numbers of the print check itself, which belong to the paper and not to the job."""


def strangers(text: str, name: str) -> set[str]:
    """Return the numbers of `text` that no entry shows; a check code may end like one: 252A."""
    plain = text.replace(stamp(planned(name).ledger), "")
    return numbers(plain) - shown_numbers(name) - FIXED


@pytest.mark.parametrize("name", NAMES)
def test_every_number_with_a_unit_is_a_shown_value_of_the_ledger(name: str) -> None:
    found: dict[str, set[int]] = {}
    for number, text in enumerate(printed(name).texts, 1):
        for stranger in strangers(text, name):
            found.setdefault(stranger, set()).add(number)
    assert found == {}


def test_a_planted_stranger_is_caught() -> None:
    assert strangers("Use a 99 A breaker.", "garage-receptacle") == {"99 A"}
    assert strangers("Tighten to 77.5 lbf·in.", "garage-receptacle") == {"77.5 lbf·in"}
    assert strangers("The breaker is 50 A.", "garage-receptacle") == set()


@pytest.mark.parametrize("name", NAMES)
def test_pages_are_without_a_fault(name: str) -> None:
    assert checks.every_fault(printed(name), sheets(name)) == []


@pytest.mark.parametrize("by", ["page-validation", "qpdf", "poppler"])
@pytest.mark.parametrize("name", NAMES)
def test_no_validator_complains(name: str, by: str) -> None:
    assert VALIDATORS[by](printed(name).content) == []


@pytest.mark.parametrize("name", ["full-service", "cellar-subpanel"])
def test_both_papers_have_the_same_pages(name: str) -> None:
    letter, a4 = printed(name), printed(name, "a4")
    assert checks.unlike_papers(letter, a4) == []
    assert checks.margin_collisions(a4) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_summary_is_one_page_and_its_words_are_on_the_back(name: str) -> None:
    front, back = printed(name).texts[:2]
    assert "This packet is no license" in front
    assert "Words on sheet A" not in front
    assert "Words on sheet A" in back
    assert "END OF SHEET A" in back


def test_where_something_falls_short_only_three_sheets_are_printed() -> None:
    assert sheets("full-service").letters == "AKL"
    text = " ".join(printed("full-service").texts)
    assert "DO NOT START" in text
    assert "Shopping list" not in text


@pytest.mark.parametrize("name", WHOLE)
def test_a_job_that_may_start_has_all_its_sheets(name: str) -> None:
    assert sheets(name).letters == "ABCDEFGHJKLM"


@pytest.mark.parametrize("name", WHOLE)
@pytest.mark.parametrize(
    ("value", "on"),
    [
        ("overcurrent_rating", "ABHM"),
        ("conductor_size", "ABEHM"),
        ("equipment_grounding", "EHM"),
        ("circuit.length", "M"),
        ("breaker_spaces", "DM"),
        ("circuit.location", "M"),
        ("service.rating", "AHK"),
        ("work.title", "ADJ"),
    ],
)
def test_values_agree_across_sheets(name: str, value: str, on: str) -> None:
    """A cover that disagrees with a worksheet is worse than no cover."""
    ledger, texts = planned(name).ledger, _texts_by_sheet(name)
    shown = show(ledger[value]).replace("\u00a0", " ")
    for letter in on:
        assert shown in texts[letter], f"{words.word(value).label} {shown} on sheet {letter}"


def _texts_by_sheet(name: str) -> dict[str, str]:
    """Return the text of each sheet, cut at its END OF SHEET line."""
    text = re.sub(r"\s+", " ", " ".join(printed(name).texts))
    parts: dict[str, str] = {}
    rest = text
    for letter in sheets(name).letters:
        part, _, rest = rest.partition(f"END OF SHEET {letter}")
        parts[letter] = part
    return parts


@pytest.mark.parametrize("name", WHOLE)
def test_every_torque_row_and_reading_of_the_steps_is_on_its_sheet(name: str) -> None:
    made = {type(sheet): sheet for sheet in sheets(name).sheets}
    torque, readings = made[views.Torque], made[views.Readings]
    assert isinstance(torque, views.Torque)
    assert isinstance(readings, views.Readings)
    rows = {f"E-{row.number}" for group in torque.groups for row in group.rows}
    rows |= {f"F-{row.number}" for group in readings.groups for row in group.rows}
    named = set(re.findall(r"\b[EF]-\d+\b", _texts_by_sheet(name)["D"]))
    assert named
    assert named <= rows


@pytest.mark.parametrize("name", WHOLE)
def test_the_as_built_record_has_the_plan_beside_each_blank(name: str) -> None:
    made = {type(sheet): sheet for sheet in sheets(name).sheets}
    torque, readings, record = (made[k] for k in (views.Torque, views.Readings, views.AsBuilt))
    assert isinstance(torque, views.Torque)
    assert isinstance(readings, views.Readings)
    assert isinstance(record, views.AsBuilt)
    rows = [row for group in record.groups for row in group.rows]
    assert [row.number for row in rows] == [str(number) for number in range(1, len(rows) + 1)]
    assert all(row.item and row.planned and row.see for row in rows)
    expected = {f"F-{row.number}": row.expect for group in readings.groups for row in group.rows}
    taken = [row for row in rows if re.fullmatch(r"F-\d+", row.see)]
    assert len(taken) >= 5
    for row in taken:
        assert row.planned == expected[row.see], row.item
    spans = [re.findall(r"\d+", row.see) for row in rows if row.see.startswith("E-")]
    covered = [str(number) for first, last in spans for number in range(int(first), int(last) + 1)]
    assert covered == [row.number for group in torque.groups for row in group.rows]
    parts = [row for row in rows if row.key.startswith("route.part_")]
    assert len(parts) == len(planned(name).parts)


@pytest.mark.parametrize("name", WHOLE)
def test_each_inspection_of_sheet_g_is_recorded(name: str) -> None:
    made = {type(sheet): sheet for sheet in sheets(name).sheets}
    permit, record = made[views.Permit], made[views.AsBuilt]
    assert isinstance(permit, views.Permit)
    assert isinstance(record, views.AsBuilt)
    keys = [row.key for group in record.groups for row in group.rows if row.see == "G"]
    assert keys == ["inspections.permit", *(f"inspections.{one.key}" for one in permit.stages)]


@pytest.mark.parametrize("name", WHOLE)
def test_every_part_to_buy_has_marks_and_a_swap_rule(name: str) -> None:
    buy = next(sheet for sheet in sheets(name).sheets if isinstance(sheet, views.Buy))
    for trip in buy.trips:
        for item in trip.items:
            assert item.marks
            assert item.swap
            assert item.quantity


@pytest.mark.parametrize("name", WHOLE)
def test_the_procedure_says_whom_to_call_when_it_ends(name: str) -> None:
    """A stop rule without a way on leaves the reader alone at an open panel."""
    text = _texts_by_sheet(name)["D"]
    assert text.index("keep the panel shut, and call a licensed electrician") < text.index(
        "Phase 1: "
    )


@pytest.mark.parametrize("name", WHOLE)
def test_live_readings_stand_behind_the_hold_point_of_the_procedure(name: str) -> None:
    made = {type(sheet): sheet for sheet in sheets(name).sheets}
    do, readings = made[views.Procedure], made[views.Readings]
    assert isinstance(do, views.Procedure)
    assert isinstance(readings, views.Readings)
    holds = [part for phase in do.phases for part in phase.parts if isinstance(part, views.Gate)]
    gated = [group for group in readings.groups if group.gate]
    assert [group.gate for group in gated] == [one for one in holds if one.key == "before_power"]
    assert gated[0].hazards
    assert all("V" in row.unit for row in gated[0].rows)


@pytest.mark.parametrize("name", WHOLE)
def test_what_to_do_outside_names_rules_and_steps_that_are_there(name: str) -> None:
    made = {type(sheet): sheet for sheet in sheets(name).sheets}
    do, readings = made[views.Procedure], made[views.Readings]
    assert isinstance(do, views.Procedure)
    assert isinstance(readings, views.Readings)
    told = " ".join(row.outside for group in readings.groups for row in group.rows)
    rules = {int(number) for number in re.findall(r"under rule (\d+) of sheet D", told)}
    assert rules
    assert rules <= set(range(1, len(do.ends_if) + 1))
    steps = {
        part.number for phase in do.phases for part in phase.parts if isinstance(part, views.Step)
    }
    named = set(re.findall(r"step (\d+\.\d+)", told))
    assert named
    assert named <= steps
    assert "stop rules" not in told


@pytest.mark.parametrize("name", WHOLE)
def test_what_must_be_ordered_first_stands_first(name: str) -> None:
    buy = next(sheet for sheet in sheets(name).sheets if isinstance(sheet, views.Buy))
    days = [trip.order_by for trip in buy.trips]
    assert days == sorted(days)
    text = _texts_by_sheet(name)["B"]
    places = [text.index(day) for day in days]
    assert places == sorted(places)


@pytest.mark.parametrize("name", NAMES)
def test_a_packet_does_nothing_by_itself_and_reaches_nothing_outside(name: str) -> None:
    assert active(printed(name).content) == []
