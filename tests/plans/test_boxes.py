"""Boxes between the ends: sized by their raceways from 4 AWG up, by their volume below.

314.28(A): eight times the largest raceway for a straight pull; six times it for an angle or U
pull or a splice, and the others of the same wall on top (EC&M quiz on sizing pull boxes).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from packet.ledger import Verdict
from packet.plans.branch_circuit import Plan
from packet.procedure import build_procedure
from packet.quantities import magnitude
from packet.sheets.forms import rows
from tests.plans.test_answers import edited

MEETS, SHORT, ASK = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK
BOX = "    width: 4.7 in\n    height: 4.7 in\n"
ROLE = "    role: pull\n"
Make = Callable[..., Plan]


@pytest.fixture
def make(tmp_path: Path) -> Make:
    """Return a maker of the pedestal's plan on 4 AWG, 2 in EMT to 1-1/2 in PVC at the box."""

    def build(box: str, role: str = "pull", conductor: str = "4 AWG") -> Plan:
        return edited(
            tmp_path,
            "driveway-pedestal",
            ("  conductor: 6 AWG", f"  conductor: {conductor}"),
            ("    method: EMT\n", "    method: EMT\n    trade_size: 2\n"),
            (
                "    method: PVC-80\n    length: 5.5 ft\n",
                "    method: PVC-80\n    trade_size: 1-1/2\n    length: 5.5 ft\n",
            ),
            (BOX, box),
            (ROLE, f"    role: {role}\n"),
        )

    return build


def verdicts(plan: Plan) -> dict[str, Verdict]:
    return {
        name.removeprefix("box.1."): check.verdict
        for name, check in plan.ledger.checks.items()
        if name.startswith("box.1.")
    }


def sides(width: str, height: str, *lines: str) -> str:
    text = f"    width: {width} in\n    height: {height} in\n"
    return text + "".join(f"    {line}\n" for line in lines)


@pytest.mark.parametrize(
    ("role", "pull", "width", "height", "expected"),
    [
        # straight: 8 x 2 = 16
        ("pull", "straight across the width", "15.9", "4", {"pull_box_width_enough": SHORT}),
        ("pull", "straight across the width", "16", "4", {"pull_box_width_enough": MEETS}),
        ("pull", "straight across the height", "4", "16.1", {"pull_box_height_enough": MEETS}),
        ("pull", "straight across the height", "16", "15.9", {"pull_box_height_enough": SHORT}),
        # splices between opposite walls: 6 x 2 = 12
        ("junction", "straight across the width", "11.9", "4", {"pull_box_width_enough": SHORT}),
        ("junction", "straight across the width", "12", "4", {"pull_box_width_enough": MEETS}),
        # around a corner: 6 x 2 = 12 both ways
        (
            "junction",
            "around a corner",
            "12",
            "11.9",
            {"pull_box_width_enough": MEETS, "pull_box_height_enough": SHORT},
        ),
        (
            "junction",
            "around a corner",
            "12",
            "12",
            {"pull_box_width_enough": MEETS, "pull_box_height_enough": MEETS},
        ),
        # back out on the same wall: 6 x 2 + 1-1/2 = 13.5
        ("junction", "back out across the width", "13.4", "4", {"pull_box_width_enough": SHORT}),
        ("junction", "back out across the width", "13.5", "4", {"pull_box_width_enough": MEETS}),
        ("junction", "back out across the height", "4", "13.5", {"pull_box_height_enough": MEETS}),
    ],
)
def test_a_box_on_large_conductors_is_sized_by_its_raceways(
    make: Make, role: str, pull: str, width: str, height: str, expected: dict[str, Verdict]
) -> None:
    found = verdicts(make(sides(width, height, f"pull: {pull}"), role))
    assert found == expected


@pytest.mark.parametrize(
    ("apart", "verdict"),
    [("11.9 in", SHORT), ("12 in", MEETS), ("12.1 in", MEETS), (None, ASK)],
)
@pytest.mark.parametrize("pull", ["around a corner", "back out across the width"])
def test_raceways_of_one_pull_stand_apart(
    make: Make, pull: str, apart: str | None, verdict: Verdict
) -> None:
    """Six times 2 in between the entries of the same conductors; a splice has none."""
    lines = [f"pull: {pull}", *([f"entry_spacing: {apart}"] if apart else [])]
    assert verdicts(make(sides("20", "20", *lines)))["raceway_entries_apart"] is verdict
    assert "raceway_entries_apart" not in verdicts(make(sides("20", "20", *lines), "junction"))


def test_what_nobody_says_of_a_large_box_is_asked(make: Make) -> None:
    assert verdicts(make(BOX)) == {"pull_is_known": ASK}
    without = "    pull: straight across the width\n"
    assert verdicts(make(without)) == {"pull_box_width_enough": ASK}


@pytest.mark.parametrize(
    ("role", "insulated"),
    [
        # two hot conductors of 6 AWG, 5 in3 each: once where they go through, twice where spliced
        ("pull", 2),
        ("junction", 4),
    ],
)
def test_a_box_on_smaller_conductors_is_sized_by_its_volume(
    make: Make, role: str, insulated: int
) -> None:
    plan = make(BOX, role, "6 AWG")
    assert verdicts(plan) == {"volume_holds_contents": MEETS}
    counted = plan.ledger["box.1.conductors.1.count"]
    assert magnitude(counted.value, "dimensionless") == insulated
    volume = plan.ledger["box.1.conductors.1.volume"]
    assert magnitude(volume.value, "in**3") == insulated * 5


def bought(plan: Plan) -> dict[str, int]:
    assert plan.shopping is not None
    return {
        line.id: int(magnitude(line.needed.value, "dimensionless"))
        for line in plan.shopping.bill.lines
        if line.needed.value.dimensionless
    }


def wires(plan: Plan) -> int:
    """Return how many pulls of conductors are bought."""
    return sum(name.endswith(".conductor_length") for name in plan.ledger.entries)


def test_a_pull_box_takes_no_splices_and_a_junction_box_does(make: Make) -> None:
    """Through a pull box the wires are one piece; in a junction box two hots and a ground join."""
    through, joined = make(BOX, "pull", "6 AWG"), make(BOX, "junction", "6 AWG")
    assert "wire-connector" not in bought(through)
    assert bought(joined)["wire-connector"] == 3
    assert (wires(through), wires(joined)) == (1, 2)


def test_large_conductors_are_joined_by_connectors_that_are_tightened(make: Make) -> None:
    large = make(sides("20", "20", "pull: around a corner"), "junction")
    assert bought(large)["splicing-block"] == 3
    assert "wire-connector" not in bought(large)
    assert large.installed is not None
    rows = {one.id: one for one in large.installed.terminals}
    assert rows["splice_ground"].torque.check.verdict is ASK
    assert rows["splice_others"].torque.check.verdict is ASK
    small = make(BOX, "junction", "6 AWG")
    assert small.installed is not None
    assert not [one for one in small.installed.terminals if one.id.startswith("splice")]


def test_a_connector_with_a_marked_torque_stands_on_the_torque_sheet(tmp_path: Path) -> None:
    line = "{at: splicing connector, torque: 120 lbf-in, temperature: 75 degC, source: label}"
    marked = ("terminals:\n", f"terminals:\n  - {line}\n")
    plan = edited(tmp_path, "driveway-pedestal", (ROLE, "    role: junction\n"), marked)
    assert plan.installed is not None
    rows = {one.id: one for one in plan.installed.terminals}
    assert rows["splice_others"].torque.check.verdict is MEETS
    through = edited(tmp_path, "driveway-pedestal", marked)
    assert through.installed is not None
    assert not [one for one in through.installed.terminals if one.id.startswith("splice")]


@pytest.mark.parametrize(
    ("answer", "verdict"), [("yes", MEETS), ("no", SHORT), ("unknown", ASK), (None, ASK)]
)
def test_a_box_in_a_wet_place_is_listed_for_it(
    tmp_path: Path, answer: str | None, verdict: Verdict
) -> None:
    """314.15: the box that ends the wall part stands outdoors."""
    outside = ("    after: Along the basement ceiling\n", "    after: Up into the pedestal\n")
    line = f"    listed_for_wet: {answer}\n" if answer else ""
    said = ("    internal_clamps: no\n", f"    internal_clamps: no\n{line}")
    plan = edited(tmp_path, "driveway-pedestal", outside, said)
    assert plan.ledger.checks["box.1.box_suits_wet_place"].verdict is verdict
    inside = edited(tmp_path, "driveway-pedestal", said)
    assert "box.1.box_suits_wet_place" not in inside.ledger.checks


@pytest.mark.parametrize(
    ("name", "change", "outlet", "passed"),
    [
        ("garage-receptacle", (), True, False),
        # the one metal box of this job is passed by the wires on their way to a charger
        ("driveway-pedestal", (), False, True),
        ("driveway-pedestal", (("role: pull", "role: junction"),), False, False),
    ],
)
def test_the_steps_ground_each_metal_box_where_it_is(
    tmp_path: Path, name: str, change: tuple[tuple[str, str], ...], outlet: bool, passed: bool
) -> None:
    """250.148: a metal box is joined to the ground wire, at the outlet or on the way."""
    plan = edited(tmp_path, name, *change)
    assert plan.ledger["fact.has_metal_outlet_box"].value is outlet
    assert plan.ledger["fact.has_metal_pull_box"].value is passed
    assert plan.installed is not None
    steps = build_procedure(plan.ledger, rows(plan.installed), plan.book).blocks
    done = {block.step.id for block in steps}
    assert len(done & {"join_ground_rough", "join_ground_outlet"}) == outlet
    assert bool(done & {"bond_pull_box", "bond_pull_box_raceway"}) is passed
