"""Every answer in a job file is judged: one line of a sound demo is changed, and it is seen."""

from __future__ import annotations

from pathlib import Path

import pytest

from packet.jobfile import load_job
from packet.ledger import Verdict
from packet.plans.branch_circuit import Plan, plan
from packet.quantities import ConductorSize, quantity

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
        # 240.4(B): the next size up protects the wires, and they carry no more than their ampacity
        (
            "cellar-subpanel",
            "    size: 2 AWG\n",
            "    size: 3 AWG\n",
            "feeder_conductor_carries_load",
            SHORT,
        ),
        # 334.80: 75 A, whatever the terminals
        ("cellar-subpanel", "    method: SER\n", "    method: NM-B\n", "feeder_protected", SHORT),
        # 310.15(B): 2 AWG aluminum has 100 x 0.71 at 60 degrees
        (
            "cellar-subpanel",
            "    ambient: 26 degC\n",
            "    ambient: 60 degC\n",
            "feeder_protected",
            SHORT,
        ),
        ("cellar-subpanel", "    ambient: 26 degC\n", "", "feeder_ambient_known", ASK),
        # a terminal that is marked for the lower temperature is no question any more
        (
            "cellar-subpanel",
            "{at: feeder breaker, temperature: 75 degC",
            "{at: feeder breaker, temperature: 60 degC",
            "feeder_protected",
            SHORT,
        ),
        (
            "cellar-subpanel",
            "{at: feeder breaker, temperature: 75 degC",
            "{at: feeder breaker, temperature: unknown",
            "feeder_protected",
            ASK,
        ),
        # 338.12: SER is not buried; on an outside wall it hangs on a condition
        (
            "cellar-subpanel",
            "    place: basement\n    ambient: 26",
            "    place: underground\n    ambient: 26",
            "feeder.method_suits_place",
            SHORT,
        ),
        (
            "cellar-subpanel",
            "    place: basement\n    ambient: 26",
            "    place: exterior wall\n    ambient: 26",
            "feeder.method_suits_place",
            ASK,
        ),
        # 215.2: a neutral left out, reduced, or below Table 250.122
        ("cellar-subpanel", "    neutral: 2 AWG\n", "", "feeder_neutral_is_large_enough", ASK),
        (
            "cellar-subpanel",
            "    neutral: 2 AWG\n",
            "    neutral: 4 AWG\n",
            "feeder_neutral_is_large_enough",
            ASK,
        ),
        (
            "cellar-subpanel",
            "    neutral: 2 AWG\n",
            "    neutral: 8 AWG\n",
            "feeder_neutral_is_large_enough",
            SHORT,
        ),
        (
            "cellar-subpanel",
            "    method: SER\n",
            "    method: EMT\n",
            "feeder_conductor_known",
            ASK,
        ),
        (
            "garage-receptacle",
            "main_rating: 200 A",
            "main_rating: 225 A",
            "main_within_service",
            ASK,
        ),
        (
            "garage-receptacle",
            "conductor: 4/0 AWG",
            "conductor: unknown",
            "service_conductor_carries_rating",
            ASK,
        ),
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
            "equipment_allows_device",
            SHORT,
        ),
        # interrupting rating of the breaker itself, 110.9
        (
            "garage-receptacle",
            "  device_interrupting_rating: 10 kA ",
            "  device_interrupting_rating: 5 kA ",
            "interrupting_rating_covers_fault",
            SHORT,
        ),
        # 240.83(C): a breaker that nobody has read may have 5 kA
        (
            "garage-receptacle",
            "  device_interrupting_rating: 10 kA ",
            "  # ",
            "unread_breaker_interrupts_fault",
            ASK,
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
        # an accessory building stands alone, whatever else is said or left out
        (
            "garage-receptacle",
            "  place: garage\n",
            "  place: accessory building\n",
            "building_disconnect",
            ASK,
        ),
        ("garage-receptacle", "  detached_building: no\n", "", "building_is_settled", ASK),
        # 220.5(A): all arithmetic is for 120/240 V
        (
            "garage-receptacle",
            "120/240 V single phase",
            "unknown",
            "service_system_is_reckoned",
            ASK,
        ),
        ("garage-receptacle", "120/240 V", "120/208 V", "service_system_is_reckoned", SHORT),
        # Chapter 9 Table 1: other circuits in the same raceway
        (
            "driveway-pedestal",
            "    bends: 270 deg\n    current_carrying_extra: 0",
            "    bends: 270 deg\n    current_carrying_extra: 1",
            "route.1.other_conductors_fit",
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


def test_what_is_said_of_the_building_and_the_raceway_is_not_asked(tmp_path: Path) -> None:
    for job in ("garage-receptacle", "driveway-pedestal", "cellar-subpanel"):
        checks = edited(tmp_path, job).ledger.checks
        assert checks["service_system_is_reckoned"].verdict is Verdict.MEETS
        assert "building_is_settled" not in checks
        assert not [name for name in checks if name.endswith("other_conductors_fit")]


@pytest.mark.parametrize(
    "changes",
    [
        (("method: PVC-40", "method: NM-B"),),
        (("method: PVC-40", "method: UF-B"), ("above: open ground", "above: under building")),
    ],
)
def test_cable_that_may_not_be_buried_is_refused(
    tmp_path: Path, changes: tuple[tuple[str, str], ...]
) -> None:
    seen = edited(tmp_path, "driveway-pedestal", *changes)
    assert seen.ledger.checks["route.3.method_may_be_buried"].verdict is SHORT
    assert not seen.parts


@pytest.mark.parametrize(
    ("old", "new", "verdict"),
    [
        # 314.15: a box in a wet place is listed for it, one in a damp place keeps water out
        ("  place: garage\n", "  place: outdoors\n", ASK),
        ("  weather: dry\n", "  weather: wet\n", ASK),
        ("  weather: dry\n", "  weather: damp\n", None),
        ("  weather: dry\n", "  weather: dry\n", None),
    ],
)
def test_a_box_in_the_wet(tmp_path: Path, old: str, new: str, verdict: Verdict | None) -> None:
    found = edited(tmp_path, "garage-receptacle", (old, new)).ledger.checks.get(
        "box.1.box_suits_wet_place"
    )
    assert (found and found.verdict) is verdict


@pytest.mark.parametrize(
    ("listed", "verdict"), [("yes", Verdict.MEETS), ("no", SHORT), ("unknown", ASK)]
)
def test_a_pull_box_on_an_outside_wall(tmp_path: Path, listed: str, verdict: Verdict) -> None:
    moved = (
        "    after: Along the basement ceiling\n",
        f"    after: Out through the wall and down\n    listed_for_wet: {listed}\n",
    )
    seen = edited(tmp_path, "driveway-pedestal", moved).ledger
    assert seen.checks["box.1.box_suits_wet_place"].verdict is verdict


def test_the_least_ground_of_two_cables_counts(tmp_path: Path) -> None:
    """SER of 6 AWG has a 6 AWG ground, the NM-B after it 10 AWG."""
    mixed = ("    method: NM-B\n    length: 29 ft", "    method: SER\n    length: 29 ft")
    ledger = edited(tmp_path, "garage-receptacle", mixed).ledger
    assert ledger["conductor_size"].value == ConductorSize.parse("6")
    assert ledger["equipment_grounding"].value == ConductorSize.parse("10")


@pytest.mark.parametrize(
    ("riser", "verdict"),
    [("RMC", Verdict.MEETS), ("PVC-80", Verdict.MEETS), ("PVC-40", SHORT), ("UF-B", ASK)],
)
def test_a_buried_cable_comes_up_in_pipe(tmp_path: Path, riser: str, verdict: Verdict) -> None:
    """300.5(D): from the trench to 8 ft; a cable that goes on bare is asked for its pipe."""
    seen = edited(
        tmp_path,
        "driveway-pedestal",
        ("    method: PVC-40\n", "    method: UF-B\n"),
        ("    cover: 22 in ", "    cover: 25 in "),
        ("pedestal\n    method: PVC-80\n", f"pedestal\n    method: {riser}\n"),
    ).ledger
    assert seen.checks["route.4.riser_protected"].verdict is verdict


def test_a_load_that_may_be_behind_the_feeder_counts(tmp_path: Path) -> None:
    """Of the 9.8 kW range nobody says where it is fed from: 8 kW by Table 220.55 count."""
    said = edited(tmp_path, "cellar-subpanel").ledger
    unsaid = edited(
        tmp_path,
        "cellar-subpanel",
        ("9.8 kW, fastened: yes, own_circuit: yes, on_subpanel: no", "9.8 kW, fastened: yes"),
    ).ledger
    name = "feeder.load.standard.total"
    assert unsaid[name].value - said[name].value == quantity(8000, "VA")
    assert said.checks["feeder_load_is_known"].verdict is Verdict.MEETS
    assert unsaid.checks["feeder_load_is_known"].verdict is ASK
    assert unsaid.checks["feeder_carries_load"].verdict is SHORT


@pytest.mark.parametrize(
    ("method", "together", "verdict"),
    [
        ("standard", "unknown", ASK),
        ("standard", "no", None),
        ("standard", "yes", None),
        # 220.82(C) takes the largest line, whatever runs together
        ("optional", "unknown", None),
    ],
)
def test_heat_and_cold_together_are_asked_for(
    tmp_path: Path, method: str, together: str, verdict: Verdict | None
) -> None:
    """220.60 leaves the smaller out only where the two are unlikely to run together."""
    heat = "    - {name: Heat, kind: central heat, rating: 10 kW, fastened: yes}\n"
    seen = edited(
        tmp_path,
        "garage-receptacle",
        ("    - {name: Dryer", f"{heat}    - {{name: Dryer"),
        ("load_method: optional", f"load_method: {method}"),
        ("heating_and_cooling_together: no", f"heating_and_cooling_together: {together}"),
    ).ledger
    found = seen.checks.get("heating_and_cooling_settled")
    assert (found and found.verdict) is verdict


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


@pytest.mark.parametrize(
    ("old", "new", "volume"),
    [
        # 314.16(B): 3 x 5 + 2 x 2 x 5 + 2.5, and 5 more for clamps that nobody has ruled out
        ("internal_clamps: no", "internal_clamps: no", "37.5"),
        ("internal_clamps: no", "internal_clamps: unknown", "42.5"),
        ("    internal_clamps: no\n", "", "42.5"),
        # a 50 A receptacle takes two gangs, said or not
        ("    gangs: 2 ", "    # gangs: 2 ", "37.5"),
        ("    gangs: 2 ", "    gangs: 1 ", "27.5"),
    ],
)
def test_a_box_is_filled_with_what_nobody_ruled_out(
    tmp_path: Path, old: str, new: str, volume: str
) -> None:
    seen = edited(tmp_path, "garage-receptacle", (old, new)).ledger
    assert seen["box.1.fill_volume"].value == quantity(volume, "in**3")


def test_a_raceway_brings_no_clamps(tmp_path: Path) -> None:
    said = ("    internal_clamps: no\n", "")
    seen = edited(tmp_path, "driveway-pedestal", said).ledger
    whole = plan(load_job(JOBS / "driveway-pedestal.yaml")).ledger
    assert seen["box.1.fill_volume"].value == whole["box.1.fill_volume"].value


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
    carries = sound.checks["feeder_conductor_carries_load"].right
    assert carries is not None
    assert carries.value == share.value
    load = sound["feeder.load.standard.current"].value.m_as("A")
    assert share.value.m_as("A") - load == pytest.approx(0.25 * 7200 / 240)
