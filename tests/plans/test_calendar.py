"""The days by which to apply, to call and to be ready, and the answers a job file gives last."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from packet.ledger import Verdict
from packet.quantities import magnitude
from packet.sheets import views
from packet.sheets.days import days, with_window, work_days
from tests.plans.test_answers import edited

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE


def test_the_permit_is_applied_for_in_time(tmp_path: Path) -> None:
    """Start Saturday 19 September, 6 days and 2 in hand: Friday 11 September."""
    ledger = edited(tmp_path, "garage-receptacle").ledger
    assert ledger["permit.apply_by"].value == date(2026, 9, 11)
    assert ledger.checks["permit.applied_in_time"].verdict is MEETS


@pytest.mark.parametrize(
    ("lead", "verdict"), [("27 days", MEETS), ("28 days", NOTE), ("40 days", NOTE)]
)
def test_a_permit_that_comes_too_late_is_told(tmp_path: Path, lead: str, verdict: Verdict) -> None:
    """The file is of Friday 21 August: 29 days before the start, 2 of them in hand."""
    change = ("permit_lead_time: 6 days", f"permit_lead_time: {lead}")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    check = ledger.checks["permit.applied_in_time"]
    assert check.verdict is verdict
    assert (check.remedy is not None) is (verdict is NOTE)


def test_a_permit_in_hand_is_not_applied_for(tmp_path: Path) -> None:
    change = ("  permit_fee: 95 USD", "  permit_fee: 95 USD\n  permit_number: E-26-0871")
    assert "permit.apply_by" not in edited(tmp_path, "garage-receptacle", change).ledger


@pytest.mark.parametrize(
    ("job", "stages"),
    [
        ("garage-receptacle", ["rough_in", "final"]),
        ("driveway-pedestal", ["trench", "rough_in", "final"]),
    ],
)
def test_each_inspection_has_its_call_before_it_and_follows_the_one_before(
    tmp_path: Path, job: str, stages: list[str]
) -> None:
    plan = edited(tmp_path, job)
    ledger = plan.ledger
    last = ledger["work.planned_start"].value
    notice = timedelta(days=float(magnitude(ledger["inspection_notice"].value, "d")))
    for stage in stages:
        ready, seen = ledger[f"{stage}_ready"].value, ledger[f"{stage}_inspection"].value
        call = ledger[f"{stage}_call_by"].value
        assert last <= ready <= seen
        assert seen - ready >= notice
        assert seen - call >= notice
        assert seen.weekday() < 5
        assert call.weekday() < 5
        last = seen
    others = {"trench", "rough_in", "service", "final"} - set(stages)
    assert not [one for one in others if f"{one}_inspection" in ledger]


def test_the_hours_before_the_inspections_are_those_of_the_job(tmp_path: Path) -> None:
    """Nothing is done twice and nothing left out between the inspections."""
    ledger = edited(tmp_path, "driveway-pedestal").ledger
    parts = [ledger[f"{stage}_work"].value for stage in ("trench", "rough_in", "final")]
    assert sum(magnitude(one, "h") for one in parts) == magnitude(ledger["work_hours"].value, "h")


def test_without_inspections_named_there_is_the_final_one(tmp_path: Path) -> None:
    change = ("  inspections: [rough-in, final]\n", "")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    assert "final_call_by" in ledger
    assert "rough_in_call_by" not in ledger


def test_what_takes_longest_sets_the_first_order(tmp_path: Path) -> None:
    ledger = edited(tmp_path, "garage-receptacle").ledger
    orders = [entry.value for entry in ledger if entry.name.endswith(".order_by")]
    assert ledger["first_order_by"].value == min(orders)


def test_sheet_g_lists_the_dates_in_order(tmp_path: Path) -> None:
    facts = days(edited(tmp_path, "driveway-pedestal").ledger)
    assert all(isinstance(fact, views.Fact) for fact in facts)
    assert [fact.value for fact in facts] == sorted(fact.value for fact in facts)
    labels = [fact.label for fact in facts]
    assert labels[0] == "apply for the permit, by"
    assert "call before digging by" in labels
    assert "ask for the final inspection, by" in labels


def shown(facts: tuple[views.Fact, ...]) -> list[tuple[str, str]]:
    return [(one.value[5:], one.label.replace("\u00a0", " ")) for one in facts]


def test_the_days_of_the_garage_by_hand(tmp_path: Path) -> None:
    """Common practice, no source, at a pace of 1.6.

    Wires and box (1 + 4 * 0.25) h, which is 3.2 h, on the Saturday of the start. The office is
    there on Monday and wants two days: Wednesday. That day, from 13:00 on, panel and tests
    (1.5 + 1) h, which is 4 h; the power is off for (0.5 + 4 * 0.25 + 0.75) h, which is 3.6 h,
    so until 16:45 by quarters of an hour. Two days later the final inspection.
    """
    ledger = edited(tmp_path, "garage-receptacle").ledger
    assert shown(days(ledger)) == [
        ("09-09", "order what takes longest, by"),
        ("09-11", "apply for the permit, by"),
        ("09-19", "planned first day of work"),
        ("09-19", "work for the rough-in inspection, 3.2 h"),
        ("09-21", "ask for the rough inspection, by"),
        ("09-23", "ask for the final inspection, by"),
        ("09-23", "rough inspection, not before; 2 days after the work is ready"),
        ("09-23", "work for the final inspection, 4 h"),
        ("09-23", "power off from 13:00 to 16:45: tell the household"),
        ("09-25", "final inspection, not before; 2 days after the work is ready"),
    ]
    assert work_days(ledger) == "2026-09-19 to 2026-09-23"
    assert with_window("from D8 to D20", ledger).endswith("D20: 2026-09-23, 13:00 to 16:45")


@pytest.mark.parametrize("job", ["garage-receptacle", "driveway-pedestal", "cellar-subpanel"])
def test_every_hour_of_the_job_is_worked_on_one_day(tmp_path: Path, job: str) -> None:
    """Nobody works more than a day's hours, nor later than the work is to be ready."""
    ledger = edited(tmp_path, job).ledger
    own = ledger.get("own_hours") or ledger["work_hours"]
    parts = [one for one in ledger if one.name.startswith("plan_day.") and ".hours" in one.name]
    assert sum(magnitude(one.value, "h") for one in parts) == magnitude(own.value, "h")
    assert all(0 < magnitude(one.value, "h") <= 6 for one in parts)
    dates = [one.value for one in ledger if one.name.startswith("plan_day.") and "date" in one.name]
    assert dates == sorted(dates)
    assert dates[-1] <= ledger["final_ready"].value
    assert ledger["power_off_day"].value in dates


def test_power_goes_off_where_the_wires_are_in(tmp_path: Path) -> None:
    """By hand, without a rough inspection: 3.2 h of wires from 8:00 on, then 3.6 h without power.

    11.2 h after midnight is 11:15 by quarters of an hour, and 14.85 h is 15:00.
    """
    change = ("  inspections: [rough-in, final]\n", "")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    assert ledger["power_off_day"].value == date(2026, 9, 19)
    assert (ledger["power_off_from"].value, ledger["power_off_until"].value) == ("11:15", "15:00")


@pytest.mark.parametrize(("pace", "day", "start"), [("3.1", 24, "13:00"), ("3.2", 25, "08:00")])
def test_power_that_would_be_back_too_late_goes_off_the_next_morning(
    tmp_path: Path, pace: str, day: int, start: str
) -> None:
    """By hand: 2.25 h at 3.1 are 6.975 h, so until 20:00; at 3.2 they are 7.2 h, and 20:15."""
    change = ("hours_factor: 1.6 ", f"hours_factor: {pace} ")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    assert ledger["power_off_day"].value == date(2026, 9, day)
    assert ledger["power_off_from"].value == start


@pytest.mark.parametrize(("answer", "verdict"), [("yes", MEETS), ("no", NOTE)])
def test_the_directory_is_judged(tmp_path: Path, answer: str, verdict: Verdict) -> None:
    """408.4(A)."""
    change = ("directory_complete: yes", f"directory_complete: {answer}")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    assert ledger.checks["directory_is_complete"].verdict is verdict


@pytest.mark.parametrize(("allowed", "verdict"), [("1", MEETS), ("2", NOTE)])
def test_a_neutral_has_a_terminal_to_itself(tmp_path: Path, allowed: str, verdict: Verdict) -> None:
    """408.41; a device that is no GFCI, so that the wire of the circuit lands on the bar."""
    bar = "{at: panel neutral bar, torque: 40 lbf-in, temperature: 75 degC, wire_range: {smallest: 14 AWG, largest: 4 AWG}, marked_for: copper and aluminum, conductors_allowed: "  # noqa: E501
    ledger = edited(
        tmp_path,
        "garage-receptacle",
        ("device_kind: GFCI", "device_kind: standard"),
        (f"{bar}1", f"{bar}{allowed}"),
    ).ledger
    found = [c for name, c in ledger.checks.items() if name.endswith("neutral_stands_alone")]
    assert [check.verdict for check in found] == [verdict]


@pytest.mark.parametrize(
    ("line", "check", "verdict"),
    [
        ("support_spacing: 4.5 ft", "route.1.supports_close_enough", MEETS),
        ("support_spacing: 4.6 ft", "route.1.supports_close_enough", SHORT),
        ("cable_diameter: 0.7 in\n    bend_radius: 3.5 in", "route.1.bend_wide_enough", MEETS),
        ("cable_diameter: 0.7 in\n    bend_radius: 3.4 in", "route.1.bend_wide_enough", SHORT),
    ],
)
def test_supports_and_bends_are_judged_where_they_are_given(
    tmp_path: Path, line: str, check: str, verdict: Verdict
) -> None:
    """334.30: 4-1/2 ft; 334.24: five times the diameter."""
    change = ("    length: 29 ft\n", f"    length: 29 ft\n    {line}\n")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    assert ledger.checks[check].verdict is verdict


@pytest.mark.parametrize(("radius", "verdict"), [("4.4 in", SHORT), ("4.5 in", MEETS)])
def test_a_field_bend_is_judged(tmp_path: Path, radius: str, verdict: Verdict) -> None:
    """Chapter 9 Table 2: 3/4 in bends at 4-1/2 in or more."""
    change = ("    length: 37 ft\n", f"    length: 37 ft\n    bend_radius: {radius}\n")
    ledger = edited(tmp_path, "driveway-pedestal", change).ledger
    assert ledger.checks["route.1.bend_wide_enough"].verdict is verdict
