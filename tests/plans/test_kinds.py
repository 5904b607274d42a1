"""The kinds of work beside charging: what an edition, a date or an answer changes in the plan.

Sources: NEC 210.8(A), (D) and (F); 210.19(A)(3); 422.11 and 422.13; 440.22; 630.11 and 630.12.
"""

from __future__ import annotations

from decimal import Decimal
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


STANDARD = ("device_kind: GFCI", "device_kind: standard")
NEAR, FAR = "  sink_distance: 6 ft\n  device_kind", "  sink_distance: 6.1 ft\n  device_kind"


@pytest.mark.parametrize(
    ("year", "device", "said", "verdict"),
    [
        (2017, "standard", "  device_kind", MEETS),
        (2020, "GFCI", "  device_kind", MEETS),
        (2020, "standard", "  device_kind", ASK),
        (2020, "standard", "  sink_distance: unknown\n  device_kind", ASK),
        (2020, "standard", NEAR, SHORT),
        (2020, "standard", FAR, MEETS),
        (2023, "standard", FAR, SHORT),
        (2026, "standard", FAR, SHORT),
    ],
)
def test_a_range_by_the_sink(
    tmp_path: Path, year: int, device: str, said: str, verdict: Verdict
) -> None:
    """210.8(A): within 6 ft of a sink; 125 V only in 2017, any kitchen receptacle from 2023."""
    changes = (("  device_kind: GFCI", f"{said}: {device}"), edition(2026, year))
    checks = edited(tmp_path, RANGE, *changes).ledger.checks
    assert checks["ground_fault_protection_is_there"].verdict is verdict
    assert ("sink_distance_is_known" in checks) is (verdict is ASK)


@pytest.mark.parametrize("spot", ["kitchen", "other room"])
@pytest.mark.parametrize(("year", "verdict"), [(2017, MEETS), (2020, ASK), (2023, SHORT)])
def test_a_dryer_outside_a_laundry_may_make_one(
    tmp_path: Path, spot: str, year: int, verdict: Verdict
) -> None:
    """210.8(A)(10) of 2020: laundry areas; what makes one is not defined there."""
    changes = [("  place: laundry", f"  place: {spot}\n  sink_distance: 6.1 ft"), STANDARD]
    changes += [edition(2023, year)] * (year != 2023)
    checks = edited(tmp_path, DRYER, *changes).ledger.checks
    assert checks["ground_fault_protection_is_there"].verdict is verdict
    assert ("dryer_place_is_settled" in checks) is (verdict is ASK)


@pytest.mark.parametrize(
    ("start", "device", "asked"),
    [
        ("2026-08-12", "standard", False),
        ("2026-08-31", "standard", True),
        ("2026-08-31", "GFCI", False),
        ("2026-09-01", "standard", False),
    ],
)
def test_work_across_the_first_day_of_the_outdoor_rule_is_asked_about(
    tmp_path: Path, start: str, device: str, asked: bool
) -> None:
    """210.8(F) Exception 2 of 2023 names a day and not what must be done by then."""
    changes = (
        ("planned_start: 2026-10-05", f"planned_start: {start}"),
        ("device_kind: GFCI", f"device_kind: {device}"),
    )
    checks = edited(tmp_path, PUMP, *changes).ledger.checks
    assert ("ground_fault_start_is_settled" in checks) is asked


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


@pytest.mark.parametrize(
    ("wet", "kind"), [("yes", "wet-disconnect-switch"), ("no", "disconnect-switch")]
)
def test_a_disconnect_is_bought_as_a_switch_and_not_as_a_box(
    tmp_path: Path, wet: str, kind: str
) -> None:
    """440.12: 115 percent of 14.1 A and 1.2 A; its room is the matter of Article 312."""
    one = "    place: {}\n    ambient: 42 degC\n    subject_to_damage: no\n    wet: {}\n"
    old = one.format("exterior wall", "yes") + "    buried: no\n    fastened_to: masonry\n"
    first = f"    length: 9 ft\n{old}"
    new = first.replace("exterior wall", "garage exposed" if wet == "no" else "exterior wall")
    plan = edited(tmp_path, PUMP, (first, new.replace("wet: yes", f"wet: {wet}")))
    assert plan.shopping is not None
    bought = [line.kind for line in plan.shopping.bill.lines]
    assert kind in bought
    assert not [one for one in bought if one.endswith("-box") or one == "cover"]
    assert plan.ledger["fitting.1.least_switch_rating"].value.magnitude == Decimal("17.595")
    assert "box.1.volume_holds_contents" not in plan.ledger.checks
    assert plan.ledger.checks["box.1.is_a_switch"].verdict is NOTE


@pytest.mark.parametrize(("year", "said"), [(2017, False), (2020, False), (2023, True)])
def test_the_disconnect_of_a_unit_is_guarded_from_2023_on(
    tmp_path: Path, year: int, said: bool
) -> None:
    """440.11 of 2023."""
    changes = [edition(2023, year)] * (year != 2023)
    checks = edited(tmp_path, PUMP, *changes).ledger.checks
    assert ("unit_disconnect_is_guarded" in checks) is said


def test_a_nameplate_that_allows_less_than_it_asks_for_is_read_again(tmp_path: Path) -> None:
    """440.4(B): maximum protection below the minimum ampacity is no plate of one unit."""
    for ampacity, device, verdict in (
        ("20 A", "20 A", MEETS),
        ("20.1 A", "20 A", ASK),
        ("22 A", "20 A", ASK),
        ("22 A", "25 A", MEETS),
    ):
        changes = (
            ("minimum_ampacity: 19.1 A", f"minimum_ampacity: {ampacity}"),
            ("maximum_overcurrent_device: 30 A", f"maximum_overcurrent_device: {device}"),
        )
        check = edited(tmp_path, PUMP, *changes).ledger.checks["overcurrent_carries_load"]
        assert (check.verdict, check.remedy) == (verdict, None)


def test_a_breaker_above_the_nameplate_is_no_fault_of_the_conductors(tmp_path: Path) -> None:
    """440.4(B) for the breaker; 240.4: conductors that carry it are protected by it."""
    larger = ("  device_kind: GFCI", "  overcurrent_device: 35 A\n  device_kind: GFCI")
    ledger = edited(tmp_path, PUMP, larger).ledger
    assert ledger.checks["equipment_allows_device"].verdict is SHORT
    assert "conductor_available" not in ledger.checks
    assert ledger["conductor_size"].value == ConductorSize("8 AWG")


@pytest.mark.parametrize(
    ("primary", "duty", "configuration", "device", "noted"),
    [
        ("44 A", "30 %", "6-50", "50 A", False),
        ("50 A", "30 %", "6-50", "50 A", False),
        ("51 A", "30 %", "6-50", "50 A", True),
        ("44 A", "30 %", "6-30", "30 A", True),
        ("60 A", "100 %", "6-50", "60 A", False),
    ],
)
def test_the_breaker_of_a_welder_goes_with_its_receptacle(
    tmp_path: Path, primary: str, duty: str, configuration: str, device: str, noted: bool
) -> None:
    """630.12(A) is a limit and no choice: where the receptacle is too small, 60 A serves 60 A."""
    changes = (
        ("primary_current: 44 A", f"primary_current: {primary}"),
        ("duty_cycle: 30 %", f"duty_cycle: {duty}"),
        ('configuration: "6-50"', f'configuration: "{configuration}"'),
    )
    ledger = edited(tmp_path, WELDER, *changes).ledger
    assert show(ledger["selected_overcurrent_rating"]).replace("\N{NO-BREAK SPACE}", " ") == device
    assert ("welder_device_holds" in ledger.checks) is noted
