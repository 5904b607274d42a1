"""A heat pump, mini-split or air conditioner, by its nameplate (Article 440)."""

from __future__ import annotations

from collections.abc import Iterator

from packet.codebook import Book
from packet.jobfile.model import CoolingUnit
from packet.ledger import Check, Entry, Verdict, chosen, computed
from packet.plans.givens import given, must, truth
from packet.plans.kinds.kind import Case, Demand, KindOfWork, LoadLine, means_of_disconnection
from packet.rules.appliance import equipment_is_listed
from packet.rules.ground_fault import OUTDOOR_UNIT
from packet.rules.nameplate import (
    largest_standard_within,
    service_receptacle,
    unit_by_nameplate,
    unit_conductor_limit,
    unit_device_fits_ampacity,
    unit_disconnect,
    unit_disconnect_is_guarded,
    unit_nameplate_agrees,
)
from packet.rules.overcurrent import selected_overcurrent_rating

WORDS_OF = {
    "air conditioner": "air_conditioner",
    "heat pump": "heat_pump",
    "mini-split": "mini_split",
}
"""Kind of unit in the job file -> its words."""


def _unit(case: Case) -> CoolingUnit:
    unit = case.job.circuit.cooling_unit
    if unit is None:
        raise LookupError("the reader makes sure that a unit is described")
    return unit


def _ampacity(case: Case) -> Entry:
    return must("unit.marked_ampacity", _unit(case).minimum_ampacity)


def _device(case: Case) -> Entry | None:
    return given("equipment_maximum_device", _unit(case).maximum_overcurrent_device)


def _motors(case: Case) -> tuple[Entry, Entry] | None:
    unit = _unit(case)
    compressor = given("unit.compressor_current", unit.compressor_current)
    others = given("unit.other_current", unit.other_current)
    return (compressor, others) if compressor and others else None


def _current(case: Case) -> Entry:
    """Return what the unit draws: its motors, else its minimum ampacity, which is more."""
    cite, motors = case.book.cite("unit_nameplate"), _motors(case)
    if motors is None:
        return computed("equipment_current", "I", cite, I=_ampacity(case))
    return computed("equipment_current", "I_r + I_f", cite, I_r=motors[0], I_f=motors[1])


def _demand(case: Case) -> Demand:
    book, ampacity, device = case.book, _ampacity(case), _device(case)
    minimum = unit_by_nameplate(book, "minimum_overcurrent_rating", ampacity)
    selected = None
    if device is not None:
        selected = largest_standard_within(book, "selected_overcurrent_rating", device)

    def limit(book: Book, name: str, usable: Entry) -> Entry:
        return unit_conductor_limit(book, name, device, usable)

    current = _current(case)
    return Demand(
        current,
        current,
        minimum,
        selected or selected_overcurrent_rating(book, minimum),
        unit_by_nameplate(book, "circuit_load", ampacity),
        unit_by_nameplate(book, "minimum_conductor_ampacity", ampacity),
        limit,
        small_conductors_free=device is not None,
    )


def _checks(case: Case, _: Demand, __: Entry) -> Iterator[Check]:
    book, device, motors = case.book, _device(case), _motors(case)
    yield equipment_is_listed(book, listed=truth(_unit(case).listed))
    if device is None:
        yield Check("unit_device_is_known", Verdict.ASK, (book.cite("unit_nameplate"),))
    if motors is not None:
        yield from unit_nameplate_agrees(book, _ampacity(case), device, *motors)
    elif device is not None:
        yield unit_device_fits_ampacity(book, _ampacity(case), device)


def _disconnect_checks(case: Case, demand: Demand, _: Entry) -> Iterator[Check]:
    if case.is_receptacle:
        yield means_of_disconnection(case, case.watts(demand.drawn))
    else:
        yield unit_disconnect(case.book, in_sight=truth(case.job.circuit.disconnect_in_sight))
        guarded = unit_disconnect_is_guarded(case.book)
        if guarded is not None:
            yield guarded
        planned = any(box.role.value == "disconnect" for box in case.job.boxes or ())
        verdict = Verdict.MEETS if planned else Verdict.FALLS_SHORT
        yield Check("unit_steps_are_written", verdict, (case.book.cite("unit_disconnect"),))
    distance = given("unit.receptacle_distance", _unit(case).receptacle_distance)
    yield service_receptacle(case.book, distance)


def _loads(case: Case, at: str, demand: Demand) -> tuple[LoadLine, ...]:
    current = demand.drawn
    rating = chosen(f"{at}.current", current.value, current.cite, current=current)
    cools = _unit(case).kind.value == "air conditioner"
    return (LoadLine("air conditioning" if cools else "heat pump", rating),)


COOLING_UNIT = KindOfWork(
    serves="heat pump or air conditioner",
    word=lambda case: WORDS_OF[_unit(case).kind.value],
    activity=lambda _: OUTDOOR_UNIT,
    name=lambda case: _unit(case).name,
    demand=_demand,
    loads=_loads,
    serves_alone="unit_nameplate",
    maximum_device=_device,
    checks=_checks,
    disconnect_checks=_disconnect_checks,
    fastened=lambda _: True,
    fact_names=("is_cooling_unit",),
    facts=lambda _, __: {"is_cooling_unit": True},
)
