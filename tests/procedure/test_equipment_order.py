"""The order of the steps for equipment that is not a charger.

Wired equipment is tested dead before it is joined or behind its open disconnect, read live where
nothing starts, and started with its covers on (NEC 110.3(B), 422.30, 440.14; the maker's
instructions). A dryer or range gets a four-wire cord and no strap (NEC 250.140, 250.142(B)).
The order as a whole is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise, product
from typing import Any

import pytest

from packet.procedure import Block, Procedure
from tests.procedure.test_order import reference_faults

Build = Callable[..., Procedure]

OTHERS = {
    "cooling unit": {"is_cooling_unit": True},
    "tank": {"is_water_heater": True, "has_tank": True},
    "no tank": {"is_water_heater": True},
    "cooking": {"is_cooking": True, "has_taps": True},
}
PLUGGED = {"dryer": "is_dryer", "range": "is_cooking", "welder": "is_welder"}


def order(procedure: Procedure) -> dict[str, int]:
    """Return the place of each step; a step printed twice would hide one of its places."""
    names = [block.step.id for block in procedure.blocks]
    assert len(names) == len(set(names))
    return {name: number for number, name in enumerate(names)}


def runs(place: dict[str, int], *names: str) -> bool:
    return all(place[first] < place[then] for first, then in pairwise(names))


def wired(build: Build, name: str, *, cable: bool, switch: bool, **more: Any) -> Procedure:
    facts = {"is_charger": False, "is_receptacle": False, "has_disconnect_box": switch}
    return build(
        parts=("cable" if cable else "raceway",),
        boxes=((False, cable),),
        source_is_service_panel=True,
        **facts,
        **OTHERS[name],
        **more,
    )


@pytest.mark.parametrize("name", OTHERS)
@pytest.mark.parametrize("cable", [False, True], ids=["raceway", "cable"])
@pytest.mark.parametrize("switch", [False, True], ids=["bare", "disconnect"])
@pytest.mark.parametrize("most", [False, True], ids=["least", "most"])
def test_wired_equipment(build: Build, name: str, cable: bool, switch: bool, most: bool) -> None:
    further = ("has_neutral", "has_insulation_test", "breaker_is_gfci", "is_aluminum")
    more = dict.fromkeys((*further, "has_metal_box", "has_metal_outlet_box"), most)
    procedure = wired(build, name, cable=cable, switch=switch, **more)
    counts = {p.id: sum(isinstance(i, Block) for i in p.items) for p in procedure.phases}
    assert {phase: count for phase, count in counts.items() if count > 15} == {}
    assert list(reference_faults(procedure)) == []
    place = order(procedure)
    assert "unplug_all" not in place
    assert runs(place, "apart_l1_l2", "line_1_outlet", "joined_l1_g", "fit_cover", "main_on")
    assert runs(place, "main_on", "control_off" if name != "tank" else "fill_heater", "on_l1_g")
    assert runs(place, "off_l1_l2", "unclip", "charger_cover", "charger_on", "start_equipment")
    assert runs(place, "wires_free", "no_short_l1_l2")
    if switch:
        assert runs(place, "load_side_disconnect", "disconnect_on_for_test", "apart_l1_l2")
        assert runs(place, "apart_l1_l2", "disconnect_off", "line_1_outlet", "wires_free")
        assert runs(place, "cover_unit", "main_on", "disconnect_still_open", "on_l1_g")
        assert runs(place, "charger_on", "disconnect_on", "start_equipment")
        assert "disconnect_closed" not in place
    else:
        assert runs(place, "no_short_l1_l2", "grounding_path", "line_1_outlet")
        assert "disconnect_on" not in place


@pytest.mark.parametrize("name", ["tank", "no tank"])
def test_a_water_heater_is_full_before_it_gets_power(build: Build, name: str) -> None:
    place = order(wired(build, name, cable=True, switch=False))
    assert runs(place, "fill_heater", "on_l1_g")
    assert ("taps_closed" in place) == (name == "no tank")


def test_a_compressor_waits_closed_before_its_first_start(build: Build) -> None:
    procedure = wired(build, "cooling unit", cable=False, switch=True)
    assert runs(order(procedure), "cover_unit", "disconnect_on", "warm_up", "start_equipment")
    panels = {block.step.id: [p.id for p in block.hazards] for block in procedure.blocks}
    assert "stored_charge" in panels["enter_charger"]
    assert "stored_charge" in panels["joined_l1_g"]
    assert "starts_by_itself" in panels["disconnect_on"]


@pytest.mark.parametrize(("name", "most"), list(product(PLUGGED, (False, True))))
def test_what_is_plugged_in(build: Build, name: str, most: bool) -> None:
    facts = {"is_charger": False, "is_receptacle": True, PLUGGED[name]: True}
    procedure = build(has_neutral=True, breaker_is_gfci=most, source_is_service_panel=True, **facts)
    place = order(procedure)
    assert runs(place, "unplug_all", "main_on", "new_breaker_on", "off_to_plug", "plug_in")
    assert runs(place, "plug_in", "on_plugged", "start_equipment")
    if name == "welder":
        assert "strap_cord" not in place
    else:
        assert runs(place, "strap_cord", "join_cord", "cord_neutral", "cord_cover", "plug_in")


def test_the_leg_difference_is_taken_before_the_trip(build: Build) -> None:
    """Its row on sheet F stands before that of the trip."""
    place = order(wired(build, "tank", cable=True, switch=False, breaker_is_gfci=True))
    assert runs(place, "clipped_l1_l2", "leg_difference", "gfci_test_charger")


@pytest.mark.parametrize("word", ["cable", "raceway"])
def test_a_wall_is_pierced_only_after_a_look_with_the_circuits_off(build: Build, word: str) -> None:
    """NEC 300.7(A) for the seal; the rest is common practice, no source."""
    box = ((False, word == "cable"),)
    procedure = build(parts=(f"{word} through a wall",), boxes=box)
    place = order(procedure)
    first = ("off_where_drilling", "tester_near_cut", "look_behind.1", "drill_wall.1")
    assert runs(place, *first, "seal_outside_wall", "on_after_drilling")
    panels = {block.step.id: [p.id for p in block.hazards] for block in procedure.blocks}
    assert panels["drill_wall.1"] == ["hidden_wires", "drill_dust"]
    assert "drill_wall.1" not in order(build(parts=(word,), boxes=box))
