"""A water heater wired in place, with a tank or without one (422.11, 422.13)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packet.jobfile.model import WaterHeater
from packet.ledger import Check, Entry
from packet.plans.givens import given, must, truth
from packet.plans.kinds.kind import (
    Case,
    Demand,
    KindOfWork,
    LoadLine,
    means_of_disconnection,
    ordinary,
    rated,
)
from packet.rules.appliance import (
    appliance_current,
    device_within_limit,
    element_is_undivided,
    equipment_is_listed,
    is_storage_heater,
    largest_appliance_device,
    storage_heater_rating,
)
from packet.rules.overcurrent import selected_overcurrent_rating

STORAGE = "storage"


def _heater(case: Case) -> WaterHeater:
    heater = case.job.circuit.water_heater
    if heater is None:
        raise LookupError("the reader makes sure that a water heater is described")
    return heater


def _rating(case: Case) -> Entry:
    return must("appliance.rating", _heater(case).rating)


def _is_storage(case: Case) -> bool:
    heater = _heater(case)
    volume = given("water_heater.volume", heater.volume)
    return bool(heater.kind.value == STORAGE) and is_storage_heater(case.book, volume)


def _demand(case: Case) -> Demand:
    """Return the demand; a storage heater's own factor stands in for that of continuous loads."""
    book = case.book
    current = appliance_current(book, _rating(case), book.figure("nominal_voltage"))
    if not _is_storage(case):
        return ordinary(case, current, continuous=False)
    because = book.cite("storage_heater_factor")
    demand = ordinary(case, current, continuous=True, because=because)
    minimum = storage_heater_rating(book, "minimum_overcurrent_rating", current)
    return replace(
        demand,
        minimum=minimum,
        selected=selected_overcurrent_rating(book, minimum),
        minimum_ampacity=storage_heater_rating(book, "minimum_conductor_ampacity", current),
    )


def _maximum(case: Case) -> Entry | None:
    return given("equipment_maximum_device", _heater(case).maximum_overcurrent_device)


def _checks(case: Case, demand: Demand, rating: Entry) -> Iterator[Check]:
    yield equipment_is_listed(case.book, listed=truth(_heater(case).listed))
    yield element_is_undivided(case.book, demand.drawn)
    if _maximum(case) is None:
        largest = largest_appliance_device(case.book, demand.drawn)
        yield device_within_limit(rating, largest)


def _disconnect_checks(case: Case, _: Demand, __: Entry) -> Iterator[Check]:
    yield means_of_disconnection(case, _rating(case))


WATER_HEATER = KindOfWork(
    serves="water heater",
    word=lambda _: "water_heater",
    activity=lambda _: "water heater",
    name=lambda case: _heater(case).name,
    demand=_demand,
    loads=lambda case, at, _: (LoadLine("water heater", rated(at, _heater(case).rating)),),
    serves_alone="appliance_circuit_rating",
    maximum_device=_maximum,
    checks=_checks,
    disconnect_checks=_disconnect_checks,
    fact_names=("is_water_heater", "has_tank"),
    facts=lambda case, _: {
        "is_water_heater": True,
        "has_tank": _heater(case).kind.value == STORAGE,
    },
)
