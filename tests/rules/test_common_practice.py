"""What the trade does and measures lies inside what the core says; no published source.

Each value has a neighbour beside it that does not, so that the check can fail.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.jobfile import load_job
from packet.ledger import Verdict, decimal_of
from packet.plans.branch_circuit import plan
from packet.quantities import ConductorSize, magnitude
from packet.rules.box import free_conductor_length, metal_box_bonded
from packet.rules.grounding import cable_equipment_grounding, table_equipment_grounding
from packet.rules.readings import Outlet, grounding_path_resistance, readings, within_band
from packet.rules.torque import Screw, terminal_torque
from tests.rules.givens import COPPER, given, size
from tests.rules.installation import examples

FACTS = examples("common_practice")
JOBS = Path(__file__).parents[2] / "jobs"
MEETS, SHORT = Verdict.MEETS, Verdict.FALLS_SHORT


def torque(of: str, lbf_in: Any, screw: Screw) -> Any:
    marked = given("terminal.1.marked_torque", lbf_in, "lbf_in")
    return terminal_torque(Book("2023"), "terminal.1", size("terminal.1.size", of), marked, screw)


def test_the_facts_are_marked_as_what_they_are() -> None:
    assert "common practice, no source" in FACTS["confirmed"]


def test_a_receptacle_screw_at_20_pound_inches_is_a_screw_smaller_than_number_10() -> None:
    """Annex I gives the widest of them 20, and a No. 10 screw on 6 AWG never so little."""
    fact = FACTS["receptacle_screw"]["lbf_in"]
    small = torque("6", fact, Screw("slotted", slot_length="over 9/32", slot_is_wide=True))
    assert small.check.verdict is MEETS
    assert [decimal_of(one) for one in small.general] == [fact]
    assert min(decimal_of(one) for one in torque("6", fact, Screw()).general) > fact


def test_a_lug_at_40_pound_inches_lies_in_the_general_range() -> None:
    fact = FACTS["breaker_lug"]
    lug = torque(fact["size"].removesuffix(" AWG"), fact["lbf_in"], Screw())
    ends = sorted(decimal_of(one) for one in lug.general)
    assert ends[0] <= decimal_of(lug.value) <= ends[-1]
    assert not ends[0] <= fact["lbf_in"] / 2 <= ends[-1]


@pytest.mark.parametrize("edition", EDITIONS)
def test_readings_of_a_good_outlet_lie_in_their_bands(edition: str) -> None:
    book, fact = Book(edition), FACTS["live_readings"]
    path = grounding_path_resistance(
        book,
        size("equipment_grounding", "10"),
        given("circuit.length", 40, "ft"),
        "copper",
        "solid",
    )
    rows = {one.id: one for one in readings(book, Outlet(True, True, True, True), path, None)}

    def verdict(row: str, volts: Any) -> Verdict:
        band = rows[row]
        measured = given("reading.1.value", volts, "V")
        return within_band("reading", measured, band.low, band.high, ()).verdict

    for row in ("live-l1-n", "live-l2-n", "live-l1-g", "live-l2-g"):
        assert verdict(row, fact["leg"]) is MEETS
        assert verdict(row, fact["leg"] + 4) is SHORT
    assert verdict("live-l1-l2", fact["both"]) is MEETS
    assert verdict("live-l1-l2", fact["both"] + 7) is SHORT
    assert verdict("live-n-g", fact["neutral"]) is MEETS
    assert verdict("live-n-g", 5) is SHORT


@pytest.mark.parametrize("edition", EDITIONS)
def test_six_inches_of_free_conductor(edition: str) -> None:
    need = free_conductor_length(Book(edition), "box.1", None, None)
    assert magnitude(need.value, "in") == FACTS["free_conductor"]["inches"]


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_cable_of_a_50_a_circuit(edition: str, tmp_path: Path) -> None:
    fact = FACTS["cable"]
    text = (JOBS / "garage-receptacle.yaml").read_text("utf-8")
    file = tmp_path / "job.yaml"
    file.write_text(text.replace("code_edition: 2023", f"code_edition: {edition}"), "utf-8")
    made = plan(load_job(file))
    assert magnitude(made.ledger["overcurrent_rating"].value, "A") == fact["rating"]
    assert made.ledger["conductor_size"].value == ConductorSize(fact["size"])
    assert made.ledger["equipment_grounding"].value == ConductorSize(fact["ground"])
    assert made.shopping is not None
    cables = [line.id for line in made.shopping.bill.lines if line.kind == "nm-b-cable"]
    assert cables == [f"nm-b-6-{fact['conductors']}-cable"]
    inside = cable_equipment_grounding(
        Book(edition), given("route.1.method", "NM-B"), COPPER, size("conductor_size", "6")
    )
    assert inside is not None
    assert inside.value == ConductorSize(fact["ground"])


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("jumper", "verdict"), [("fact", MEETS), ("12", SHORT)])
def test_the_jumper_to_a_metal_box(edition: str, jumper: str, verdict: Verdict) -> None:
    book = Book(edition)
    text = FACTS["jumper"]["size"].removesuffix(" AWG") if jumper == "fact" else jumper
    need = table_equipment_grounding(book, given("overcurrent_rating", 50, "A"), COPPER)
    check = metal_box_bonded(book, "box.1", size("box.1.bonding_jumper", text), need)
    assert check.verdict is verdict


@pytest.mark.parametrize("edition", EDITIONS)
def test_cords_as_sold_are_within_the_longest_allowed(edition: str) -> None:
    longest = magnitude(Book(edition).figure("charger_cable_length").value, "ft")
    assert max(FACTS["cords"]["feet"]) <= longest
    assert longest < 30
