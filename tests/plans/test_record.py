"""A record judges what was written row by row, and says nothing that was not written."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from packet.ledger import Verdict, decimal_of
from packet.plans.record import Judged, Record, Standing, record, units
from packet.quantities import magnitude
from packet.sheets.record import record_of_work
from packet.showing import stamp
from tests.demos.conftest import planned

NAME = "garage-receptacle"
GOOD_BY_ID = {
    "leg-difference": "0.4",
    "gfci-trips": "0",
    "loaded-l1-l2": "238.9",
    "load-current": "39.6 A",
    "voltage-fall": "2.3",
    "live-l1-l2": "241.2 V",
    "live-n-g": "0,1",
    "live-l1-n": "120.8",
    "live-l2-n": "120.4",
    "live-l1-g": "120.8",
    "live-l2-g": "120.4",
}


def good(name: str = NAME) -> dict[str, str]:
    """Return what a careful person writes on sheets E and F of a sound circuit."""
    installed = planned(name).installed
    assert installed is not None
    written = {"E.calibrated_until": "2027-01-31", "M.did.date": "2026-09-20"}
    for number, terminal in enumerate(installed.terminals, 1):
        assert terminal.torque.value is not None
        written[f"E.{number}.set"] = f"{decimal_of(terminal.torque.value)} lbf-in"
    for number, reading in enumerate(installed.readings, 1):
        start = reading.id.partition("-")[0]
        by_start = {"meter": "121.3 V", "dead": "0.0", "apart": "OL"}
        written[f"F.{number}.reading"] = GOOD_BY_ID.get(reading.id) or by_start.get(start, "0.12")
    return written


def row(of: str, name: str = NAME) -> str:
    """Return the field of a reading by its id."""
    installed = planned(name).installed
    assert installed is not None
    number = [reading.id for reading in installed.readings].index(of) + 1
    return f"F.{number}.reading"


def recorded(**changes: str) -> Record:
    """Record the good sheets with changes, by the id of a reading or the field of a torque."""
    written = good()
    for name, text in changes.items():
        key = name.replace("__", ".") if "__" in name else row(name.replace("_", "-"))
        written[key] = text
    return record(planned(NAME), {key: text for key, text in written.items() if text})


def found(kept: Record, of: str) -> Judged:
    return next(one for one in (*kept.readings, *kept.torques) if of in (one.id, one.row))


def test_a_row_that_is_about_something_else_makes_another_packet() -> None:
    """Two packets of the same values and other rows would have their readings changed over."""
    ledger = planned(NAME).ledger
    rows = ledger.rows
    assert rows[0] == "E-1 outlet_ground"
    assert f"{row('load-current').removesuffix('.reading').replace('.', '-')} load-current" in rows
    other = replace(ledger, rows=[*rows[:-2], *reversed(rows[-2:])])
    assert stamp(other) != stamp(ledger) == stamp(replace(ledger))


def test_a_sound_circuit_is_within_everywhere() -> None:
    kept = recorded()
    assert {one.standing for one in (*kept.readings, *kept.torques)} == {Standing.WITHIN}
    assert kept.faults == ()
    assert kept.uncalibrated is None
    assert kept.connection is not None
    assert [check.verdict for check in kept.connection.checks] == [Verdict.MEETS] * 2
    assert not any(one.differs for one in kept.readings)


def test_every_blank_knows_its_unit() -> None:
    installed = planned(NAME).installed
    assert installed is not None
    takes = units(installed)
    assert takes[row("apart-l1-l2")] == "MΩ"
    assert takes[row("grounding-path")] == "Ω"
    assert takes[row("load-current")] == "A"
    assert takes[row("live-l1-l2")] == "V"
    assert takes["E.1.set"] == takes["E.9.required"] == "lbf_in"


@pytest.mark.parametrize(
    ("of", "text", "standing"),
    [
        ("live_l1_l2", "228", Standing.WITHIN),
        ("live_l1_l2", "227.9", Standing.OUTSIDE),
        ("live_l1_l2", "252", Standing.WITHIN),
        ("live_l1_l2", "252,1", Standing.OUTSIDE),
        ("live_l1_l2", "0.24 kV", Standing.WITHIN),
        ("live_l1_l2", "", Standing.MISSING),
        ("live_l1_l2", "n/a", Standing.MISSING),
        ("live_l1_l2", "OL", Standing.UNREADABLE),
        ("live_l1_l2", "240 A", Standing.UNREADABLE),
        ("live_l1_l2", "> 200", Standing.UNREADABLE),
        ("live_l1_l2", "> 260", Standing.OUTSIDE),
        ("live_l1_l2", "< 200", Standing.OUTSIDE),
        ("live_n_g", "< 0.1", Standing.WITHIN),
        ("live_n_g", "< 5", Standing.UNREADABLE),
        ("apart_l1_l2", "OL", Standing.WITHIN),
        ("apart_l1_l2", "1 MΩ", Standing.WITHIN),
        ("apart_l1_l2", "999 kohm", Standing.OUTSIDE),
        ("apart_l1_l2", "0,5", Standing.OUTSIDE),
        ("apart_l1_l2", "> 20 MΩ", Standing.WITHIN),
        ("apart_l1_l2", "> 0.2 MΩ", Standing.UNREADABLE),
        ("grounding_path", "OL", Standing.OUTSIDE),
        ("grounding_path", "open", Standing.OUTSIDE),
        ("grounding_path", "120 mohm", Standing.WITHIN),
        ("grounding_path", "0.5", Standing.OUTSIDE),
        ("load_current", "40 A", Standing.WITHIN),
        ("load_current", "40.1", Standing.OUTSIDE),
        ("load_current", "N/A MO", Standing.NOT_TAKEN),
        ("loaded_l1_l2", "not taken", Standing.NOT_TAKEN),
    ],
)
def test_a_reading_stands_where_its_band_puts_it(of: str, text: str, standing: Standing) -> None:
    """ANSI C84.1 for the volts; the other limits are held by the tests of their rules."""
    assert found(recorded(**{of: text}), of.replace("_", "-")).standing is standing


@pytest.mark.parametrize(
    ("text", "standing", "why"),
    [
        ("42 lbf-in", Standing.WITHIN, ""),
        ("40.32 lbf-in", Standing.WITHIN, ""),
        ("40.31 lbf-in", Standing.OUTSIDE, ""),
        ("43.68 in-lb", Standing.WITHIN, ""),
        ("43.69 in-lb", Standing.OUTSIDE, ""),
        ("4.75 N·m", Standing.WITHIN, ""),
        ("3,5 ft-lb", Standing.WITHIN, ""),
        ("42", Standing.WITHIN, ""),
        ("4.75", Standing.UNREADABLE, "bare_torque"),
        ("30", Standing.OUTSIDE, ""),
        ("tight", Standing.UNREADABLE, "number"),
        ("> 40 lbf-in", Standing.UNREADABLE, "beyond"),
        ("", Standing.MISSING, ""),
    ],
)
def test_a_setting_stands_within_what_the_tool_may_be_off(
    text: str, standing: Standing, why: str
) -> None:
    """ISO 6789, 4 % of 42 lbf·in; 110.14(D) asks for the torque that the part is marked with."""
    one = found(recorded(E__1__set=text), "E-1")
    assert (one.standing, one.why) == (standing, why)


def test_a_label_that_differs_wins_over_the_plan() -> None:
    """Sheet E says so; a setting to the plan's value is then outside."""
    kept = recorded(E__1__required="50 lbf-in", E__1__set="42 lbf-in")
    assert found(kept, "E-1").standing is Standing.OUTSIDE
    assert found(recorded(E__1__required="50", E__1__set="50"), "E-1").standing is Standing.WITHIN


def test_a_torque_nobody_read_off_the_part_cannot_be_judged() -> None:
    """110.14(D): without a marking there is nothing to hold the setting to."""
    plan = planned("cellar-subpanel")
    assert plan.installed is not None
    unread = next(
        number
        for number, terminal in enumerate(plan.installed.terminals, 1)
        if terminal.torque.value is None
    )
    written = {f"E.{unread}.set": "45 lbf-in"}
    one = found(record(plan, written), f"E-{unread}")
    assert (one.standing, one.why) == (Standing.MISSING, "label")
    written[f"E.{unread}.required"] = "45 lbf-in"
    assert found(record(plan, written), f"E-{unread}").standing is Standing.WITHIN


@pytest.mark.parametrize(
    ("text", "differs"), [("2.3", False), ("2", False), ("2.4", False), ("2.5", True), ("3", False)]
)
def test_a_subtraction_is_done_again(text: str, differs: bool) -> None:
    """By hand: 241.2 V less 238.9 V is 2.3 V, to the last digit that was written."""
    one = found(recorded(voltage_fall=text), "voltage-fall")
    assert one.differs is differs
    assert one.worked is not None
    assert decimal_of(one.worked) == Decimal("2.3")


def test_a_wrong_subtraction_does_not_hide_a_fall_that_is_too_large() -> None:
    kept = recorded(loaded_l1_l2="230", voltage_fall="1.2")
    assert found(kept, "voltage-fall").standing is Standing.OUTSIDE
    assert found(kept, "voltage-fall").differs
    again = recorded(live_l1_g="124", live_l2_g="117", leg_difference="1")
    assert found(again, "leg-difference").standing is Standing.OUTSIDE


def test_a_blank_subtraction_is_filled_in_and_one_without_its_readings_is_not() -> None:
    assert found(recorded(voltage_fall=""), "voltage-fall").standing is Standing.WITHIN
    kept = recorded(voltage_fall="", loaded_l1_l2="")
    assert found(kept, "voltage-fall").standing is Standing.MISSING


@pytest.mark.parametrize("left_out", ["live_l1_l2", "loaded_l1_l2", "load_current"])
@pytest.mark.parametrize("text", ["", "n/a"])
def test_a_connection_is_judged_only_from_all_its_readings(left_out: str, text: str) -> None:
    assert recorded(**{left_out: text}).connection is None


def test_a_car_that_draws_nothing_shows_nothing() -> None:
    assert recorded(load_current="0 A").connection is None


def test_a_bad_connection_that_every_band_lets_pass_is_found_by_its_resistance() -> None:
    """By hand: at 10 A, 2.4 V less 0.39 V are 2.0 V, or 0.2 ohm more than the run has."""
    kept = recorded(load_current="10 A", loaded_l1_l2="238.8", voltage_fall="2.4")
    assert {one.standing for one in kept.readings} == {Standing.WITHIN}
    assert kept.connection is not None
    assert kept.connection.checks[0].verdict is Verdict.FALLS_SHORT
    assert abs(magnitude(kept.connection.excess.value, "Ω") - Decimal("0.2")) < Decimal("0.01")


FAULTS: dict[str, dict[str, Any]] = {
    "neutral-ground-joined": {"apart_n_g": "0.2 ohm"},
    "open-ground": {"grounding_path": "OL"},
    "open-neutral": {"neutral_path": "OL"},
    "neutral-ground-swapped": {"grounding_path": "OL", "neutral_path": "OL"},
    "loose-service-neutral": {
        "live_l1_n": "131",
        "live_l1_g": "131",
        "live_l2_n": "110",
        "live_l2_g": "110",
    },
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_named_from_the_rows_of_the_sheet(fault: str) -> None:
    """The patterns themselves are held against node equations."""
    assert [one.fault for one in recorded(**FAULTS[fault]).faults] == [fault]


@pytest.mark.parametrize(
    ("until", "done", "late"),
    [
        ("2026-09-20", "2026-09-20", False),
        ("2026-09-19", "2026-09-20", True),
        ("next year", "2026-09-20", False),
        ("", "2026-09-20", False),
    ],
)
def test_a_tool_past_its_calibration_is_told(until: str, done: str, late: bool) -> None:
    """110.14(D) of 2017 asks for a calibrated tool."""
    kept = recorded(E__calibrated_until=until, M__did__date=done)
    assert (kept.uncalibrated is not None) is late


@pytest.mark.parametrize("name", ["driveway-pedestal", "cellar-subpanel"])
def test_every_demo_can_be_recorded_in_words(name: str) -> None:
    """Empty sheets of other jobs: each blank is missing, and nothing is outside."""
    plan = planned(name)
    sheet = record_of_work(plan, record(plan, {}), {}, {"M.circuit.breaker.built": "M-1"})
    assert sheet.verdict == "not_complete"
    assert sheet.outside == sheet.faults == ()
    assert len(sheet.missing) >= len(sheet.torques) + len(sheet.readings)
    assert sheet.missing[-1] == "M-1"
    assert all(row.item and row.standing == "MISSING" for row in sheet.readings)
