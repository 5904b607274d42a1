"""Every answer in a job file is judged: one line of a sound demo is changed, and it is seen."""

from __future__ import annotations

from pathlib import Path

import pytest

from packet.jobfile import load_job
from packet.ledger import Verdict
from packet.plans.branch_circuit import Plan, plan
from packet.quantities import quantity

JOBS = Path(__file__).parents[2] / "jobs"


def edited(tmp_path: Path, name: str, *changes: tuple[str, str]) -> Plan:
    """Return the plan of a demo with some of its text changed."""
    text = (JOBS / f"{name}.yaml").read_text("utf-8")
    for old, new in changes:
        assert old in text, f"{name} does not say `{old}`"
        text = text.replace(old, new)
    file = tmp_path / "edited.yaml"
    file.write_text(text, "utf-8")
    return plan(load_job(file))


SHORT, ASK = Verdict.FALLS_SHORT, Verdict.ASK


@pytest.mark.parametrize(
    ("job", "old", "new", "check", "verdict"),
    [
        # 240.4 and 215.2: 6 AWG aluminum has 50 A at 75 degrees, its breaker is 90 A
        ("cellar-subpanel", "    size: 2 AWG", "    size: 6 AWG", "feeder_protected", SHORT),
        # Table 250.122: 90 A asks for 6 AWG aluminum
        (
            "cellar-subpanel",
            "equipment_grounding: 6 AWG",
            "equipment_grounding: 8 AWG",
            "feeder_grounding_meets_table",
            SHORT,
        ),
        ("cellar-subpanel", "    rating: 90 A", "    rating: 70 A", "feeder_carries_load", SHORT),
        # 230.90: the main breaker limits what the service carries
        (
            "garage-receptacle",
            "main_rating: 200 A",
            "main_rating: 125 A",
            "service_carries_load",
            SHORT,
        ),
        # Table 310.12: 200 A asks for 4/0 aluminum
        (
            "garage-receptacle",
            "conductor: 4/0 AWG",
            "conductor: 3/0 AWG",
            "service_conductor_carries_rating",
            SHORT,
        ),
        # the instructions of listed equipment, 110.3(B)
        (
            "garage-receptacle",
            "    nameplate_current: 40 A ",
            "    maximum_overcurrent_device: 45 A\n    nameplate_current: 40 A ",
            "charger_allows_device",
            SHORT,
        ),
        # interrupting rating of the breaker itself, 110.9
        (
            "garage-receptacle",
            "  device_kind: GFCI",
            "  device_kind: GFCI\n  device_interrupting_rating: 5 kA",
            "interrupting_rating_covers_fault",
            SHORT,
        ),
        (
            "garage-receptacle",
            "owner_lives_here: yes",
            "owner_lives_here: no",
            "owner_lives_here",
            ASK,
        ),
        (
            "garage-receptacle",
            "grounding_bar: yes",
            "grounding_bar: no",
            "grounding_bar_in_panel",
            SHORT,
        ),
        # a second supply, 225.30; a disconnect there, 225.31
        (
            "garage-receptacle",
            "detached_building: no",
            "detached_building: yes\n  building_has_other_supply: yes",
            "one_supply_to_building",
            SHORT,
        ),
        (
            "garage-receptacle",
            "detached_building: no",
            "detached_building: yes\n  building_has_other_supply: no",
            "building_disconnect",
            ASK,
        ),
        # 334.80: neighbors nobody has counted
        (
            "garage-receptacle",
            "cables_together: 1",
            "cables_together: 6",
            "route.1.neighbors_counted",
            ASK,
        ),
        # protection from damage, 334.15(B)
        (
            "garage-receptacle",
            "subject_to_damage: no",
            "subject_to_damage: yes",
            "route.1.safe_from_damage",
            SHORT,
        ),
        ("garage-receptacle", "ambient: 26 degC", "# no ambient", "route.1.ambient_known", ASK),
        ("garage-receptacle", "[19, 21]", "[20, 21]", "spaces_are_a_pair", SHORT),
    ],
)
def test_a_changed_answer_changes_the_verdict(
    tmp_path: Path, job: str, old: str, new: str, check: str, verdict: Verdict
) -> None:
    assert edited(tmp_path, job, (old, new)).ledger.checks[check].verdict is verdict


def test_bundled_neighbors_derate_the_cable(tmp_path: Path) -> None:
    """Six cables of two wires each beside the new one's two: 12 conductors, 50 percent."""
    seen = edited(
        tmp_path,
        "garage-receptacle",
        ("cables_together: 1", "cables_together: 6"),
        ("hole_sealed: no", "hole_sealed: yes"),
        ("  material: copper", "  material: copper\n  conductor: 6 AWG"),
    ).ledger
    assert seen["route.1.adjustment_factor"].value == quantity("0.5")
    assert seen.checks["route.1.conductor_carries_load"].verdict is SHORT


def test_bends_are_added_up_from_box_to_box(tmp_path: Path) -> None:
    """Two parts within one pull share its 360 degrees (352.26, 358.26)."""
    ledger = plan(load_job(JOBS / "driveway-pedestal.yaml")).ledger
    pulls = [check for name, check in ledger.checks.items() if name.startswith("pull.")]
    assert len(pulls) == 2
    assert all(check.verdict is Verdict.MEETS for check in pulls)
    seen = edited(tmp_path, "driveway-pedestal", ("bends: 0 deg", "bends: 180 deg")).ledger
    short = [
        check.name for check in seen.having(SHORT) if check.name.endswith("bends_allow_pulling")
    ]
    assert [name for name in short if name.startswith("pull.")]
    assert not [name for name in short if name.startswith("route.")]


def test_a_demo_without_terminals_or_boxes_asks(tmp_path: Path) -> None:
    text = (JOBS / "garage-receptacle.yaml").read_text("utf-8")
    head, _, rest = text.partition("\nterminals:")
    prices = rest[rest.index("\nprices:") :]
    file = tmp_path / "bare.yaml"
    file.write_text(head + prices, "utf-8")
    ledger = plan(load_job(file)).ledger
    assert ledger.verdict is not Verdict.MEETS
    assert any(check.name.startswith("terminal.") for check in ledger.having(ASK))


def test_connectors_stand_at_boxes_and_a_pull_is_one_piece() -> None:
    """Three kinds of conduit between two boxes have two connectors; wire runs through the box."""
    ledger = plan(load_job(JOBS / "driveway-pedestal.yaml")).ledger
    connectors = [ledger.get(f"run.{number}.connectors") for number in (2, 3, 4)]
    assert sum(one.value.magnitude for one in connectors if one is not None) == 2
    feet = sum(ledger[f"route.{number}.length"].value.m_as("ft") for number in range(1, 6))
    assert ledger["run.1.conductor_length"].value.m_as("ft") > feet
    assert not [n for n in (2, 3, 4) if f"run.{n}.conductor_length" in ledger]


@pytest.mark.parametrize(
    ("length", "verdict"), [("13.5 m", Verdict.MEETS), ("1 ft", Verdict.FALLS_SHORT)]
)
def test_a_subpanel_is_judged_by_what_its_feeder_lets_through(
    tmp_path: Path, length: str, verdict: Verdict
) -> None:
    """12 kA at the service is more than the 10 kA of the subpanel; its feeder takes some of it."""
    ledger = edited(
        tmp_path,
        "cellar-subpanel",
        ("available_fault_current: unknown", "available_fault_current: 12 kA"),
        ("    length: 13.5 m", f"    length: {length}"),
    ).ledger
    check = ledger.checks["interrupting_rating_covers_fault"]
    assert check.verdict is verdict
    assert check.right is ledger["panel_fault_current"]
    assert check.right.value < ledger["available_fault_current"].value


def test_of_an_unknown_feeder_nothing_is_taken_off(tmp_path: Path) -> None:
    ledger = edited(
        tmp_path,
        "cellar-subpanel",
        ("available_fault_current: unknown", "available_fault_current: 12 kA"),
        ("    size: 2 AWG", "    size: unknown"),
    ).ledger
    check = ledger.checks["interrupting_rating_covers_fault"]
    assert check.verdict is Verdict.FALLS_SHORT
    assert check.right is ledger["available_fault_current"]


@pytest.mark.parametrize(
    ("rating", "verdict"),
    [
        ("5 W", ASK),
        ("2999 VA", ASK),
        ("3000 VA", Verdict.MEETS),
        ("27 kW", Verdict.MEETS),
        ("27001 VA", ASK),
    ],
)
def test_a_nameplate_that_no_such_appliance_has_is_asked_about(
    tmp_path: Path, rating: str, verdict: Verdict
) -> None:
    """Common practice, no source: a range of 5 W is 5 kW misread, and hides half the load."""
    change = ("kind: range, rating: 11.6 kW", f"kind: range, rating: {rating}")
    ledger = edited(tmp_path, "garage-receptacle", change).ledger
    assert ledger.checks["dwelling.load.1.nameplate_is_usual"].verdict is verdict


def test_the_feeder_carries_the_continuous_share(tmp_path: Path) -> None:
    """215.2 and 215.3: the feeder's breaker and conductors against the load with its share."""
    sound = edited(tmp_path, "cellar-subpanel").ledger
    share = sound["feeder.load.standard.current_with_continuous_share"]
    assert sound.checks["feeder_carries_load"].left == share
    assert sound.checks["feeder_conductor_carries_load"].right == share
    load = sound["feeder.load.standard.current"].value.m_as("A")
    assert share.value.m_as("A") - load == pytest.approx(0.25 * 7200 / 240)
