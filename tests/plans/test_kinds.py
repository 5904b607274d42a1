"""The kinds of work beside charging: what an edition, a date or an answer changes in the plan.

Sources: NEC 210.8(A), (D) and (F); 210.19(A)(3); 422.11 and 422.13; 440.22; 630.11 and 630.12.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from packet.jobfile import JobFaults
from packet.ledger import Verdict
from packet.quantities import ConductorSize
from packet.showing import show
from tests.plans.test_answers import edited

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE
DRYER, RANGE, OVEN = "laundry-dryer", "kitchen-range", "oven-and-cooktop"
HEATER, WELDER, PUMP = "basement-water-heater", "shop-welder", "yard-heat-pump"


def edition(was: int, year: int) -> tuple[str, str]:
    return f"code_edition: {was}", f"code_edition: {year}"


@pytest.mark.parametrize(
    ("job", "was", "year", "required"),
    [
        (DRYER, 2023, 2017, "not required"),
        (DRYER, 2023, 2020, "required"),
        (DRYER, 2023, 2026, "required"),
        (RANGE, 2026, 2017, "not required"),
        (RANGE, 2026, 2023, "required"),
        (OVEN, 2017, 2020, "not required"),
        (OVEN, 2017, 2023, "required"),
        (HEATER, 2017, 2023, "not required"),
        (WELDER, 2020, 2017, "not required"),
        (WELDER, 2020, 2023, "required"),
    ],
)
def test_ground_fault_protection_follows_the_edition(
    tmp_path: Path, job: str, was: int, year: int, required: str
) -> None:
    """210.8(A): 250 V receptacles by place from 2020; 210.8(D): appliances from 2023."""
    ledger = edited(tmp_path, job, edition(was, year)).ledger
    assert show(ledger["ground_fault.required"]) == required


@pytest.mark.parametrize(
    ("start", "required"), [("2026-08-31", "not required"), ("2026-09-01", "required")]
)
def test_an_outdoor_unit_comes_under_the_rule_on_a_day(
    tmp_path: Path, start: str, required: str
) -> None:
    """210.8(F) Exception 2 of 2023."""
    ledger = edited(tmp_path, PUMP, ("planned_start: 2026-10-05", f"planned_start: {start}")).ledger
    assert show(ledger["ground_fault.required"]) == required


@pytest.mark.parametrize(
    ("job", "old", "new", "check", "verdict"),
    [
        (DRYER, "configuration: 14-30", 'configuration: "6-30"', "appliance_has_four_wires", SHORT),
        (DRYER, "    listed: yes", "    listed: unknown", "equipment_is_listed", ASK),
        (DRYER, "device: 30 A", "device: 25 A", "equipment_allows_device", SHORT),
        (DRYER, "rating: 5.6 kW ", "rating: 7.3 kW ", "overcurrent_carries_load", MEETS),
        (
            HEATER,
            "overcurrent_device: 30 A",
            "overcurrent_device: 35 A",
            "device_within_limit",
            SHORT,
        ),
        (
            HEATER,
            "overcurrent_device: 30 A",
            "overcurrent_device: 20 A",
            "overcurrent_carries_load",
            SHORT,
        ),
        (HEATER, "rating: 4.5 kW ", "rating: 11.6 kW ", "heater_fits_one_circuit", SHORT),
        (HEATER, "in_sight: yes", "in_sight: no", "appliance_has_disconnect", NOTE),
        (WELDER, "primary_current: 44 A", "primary_current: 17 A", "device_within_limit", MEETS),
        (PUMP, "in_sight: yes", "in_sight: no", "unit_has_disconnect", SHORT),
        (PUMP, "role: disconnect", "role: pull", "unit_steps_are_written", SHORT),
        (PUMP, "ampacity: 19.1 A", "ampacity: 16 A", "unit_ampacity_agrees", ASK),
        (PUMP, "device: 30 A", "device: unknown", "unit_device_is_known", ASK),
        (PUMP, "distance: unknown", "distance: 26 ft", "unit_has_service_receptacle", SHORT),
        (
            OVEN,
            "rating: 4.2 kW, tap: 10 AWG",
            "rating: 4.2 kW, tap: 14 AWG",
            "cooking.2.tap_is_large_enough",
            SHORT,
        ),
        (OVEN, "kind: cooktop", "kind: range", "cooking_units_share_a_circuit", SHORT),
    ],
)
def test_a_changed_answer_changes_the_verdict(
    tmp_path: Path, job: str, old: str, new: str, check: str, verdict: Verdict
) -> None:
    """250.140, 422.11, 422.13, 440.14, 630.12, Table 220.55 Note 4."""
    assert edited(tmp_path, job, (old, new)).ledger.checks[check].verdict is verdict


def test_a_welder_receptacle_for_anything_is_wired_like_any_other(tmp_path: Path) -> None:
    """630.11 is for welders alone: what else may be plugged in gets conductors for 50 A."""
    changed = edited(tmp_path, WELDER, ("nothing_else: yes", "nothing_else: unknown"))
    assert changed.ledger["conductor_size"].value == ConductorSize("8 AWG")
    assert not changed.ledger["fact.serves_welder_only"].value


def test_a_larger_tank_is_no_storage_heater_of_the_rule(tmp_path: Path) -> None:
    """422.13 holds up to 120 gal."""
    for volume, least in (("120 gal", "23.44"), ("121 gal", "18.75"), ("unknown", "23.44")):
        ledger = edited(tmp_path, HEATER, ("volume: 50 gal", f"volume: {volume}")).ledger
        assert show(ledger["minimum_overcurrent_rating"]).startswith(least)


def test_a_unit_whose_maximum_is_not_known_is_wired_on_the_safe_side(tmp_path: Path) -> None:
    """440.22 and 240.4(G) let the device exceed the ampacity only by the nameplate."""
    ledger = edited(tmp_path, PUMP, ("device: 30 A", "device: unknown")).ledger
    assert show(ledger["overcurrent_rating"]).startswith("20")
    assert ledger["conductor_size"].value == ConductorSize("12 AWG")


def test_cooking_conductors_have_no_next_size_up(tmp_path: Path) -> None:
    """210.19(A)(3): the ampacity is not less than the rating of the circuit."""
    made = edited(tmp_path, RANGE, ("  device_kind", "  overcurrent_device: 50 A\n  device_kind"))
    assert made.ledger["conductor_size"].value == ConductorSize("6 AWG")


def test_two_new_appliances_count_one_by_one(tmp_path: Path) -> None:
    """Table 220.55 Note 4 is for the branch circuit alone."""
    plan = edited(tmp_path, OVEN)
    names = [show(plan.ledger[f"dwelling.load.{number}.name"]) for number in (4, 5)]
    assert names == ["Cooktop", "Wall oven"]


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("serves: dryer", "serves: welder", "J017"),
        ("  dryer:\n", "  equipment:\n", "J017"),
        ("    rating: 5.6 kW                # on the plate inside its door\n", "", "J012"),
    ],
)
def test_a_kind_has_its_own_section(tmp_path: Path, old: str, new: str, code: str) -> None:
    """by hand: what is described must be what the circuit serves."""
    with pytest.raises(JobFaults) as faults:
        edited(tmp_path, DRYER, (old, new))
    assert code in str(faults.value)
