"""A receptacle for an arc welder, by its duty cycle (630.11, 630.12)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packet.jobfile.model import Welder
from packet.ledger import Check, Entry, chosen
from packet.plans.givens import given, must, truth
from packet.plans.kinds.kind import (
    Case,
    Demand,
    KindOfWork,
    LoadLine,
    means_of_disconnection,
    of_receptacle,
    ordinary,
    single_receptacle,
)
from packet.rules.appliance import (
    device_within_limit,
    equipment_is_listed,
)
from packet.rules.nameplate import (
    effective_current,
    largest_welder_device,
    least_welder_device,
    welder_conductor_limit,
    welder_device_holds,
    welder_receptacle,
)
from packet.rules.receptacle import configuration

TABLE = {"with a motor generator": "motor_generator"}
"""How a job file tells the welders of the two columns apart; all others are of the first."""


def _welder(case: Case) -> Welder:
    welder = case.job.circuit.welder
    if welder is None:
        raise LookupError("the reader makes sure that a welder is described")
    return welder


def _primary(case: Case) -> Entry:
    return must("welder.primary_current", _welder(case).primary_current)


def _alone(case: Case) -> bool:
    """Say whether conductors may be sized for the welder: nothing else will be plugged in."""
    return truth(_welder(case).nothing_else) is True


def _effective(case: Case) -> Entry:
    welder = _welder(case)
    return effective_current(
        case.book,
        _primary(case),
        must("welder.duty", welder.duty_cycle),
        TABLE.get(welder.kind.value, "nonmotor_generator"),
        given("welder.effective_current", welder.effective_current),
    )


def _demand(case: Case) -> Demand:
    """Return the demand of the welder; as for any load where something else may be plugged in."""
    book, primary = case.book, _primary(case)
    cite = book.cite("welder_conductors")
    current = chosen("equipment_current", primary.value, cite, primary=primary)
    if not _alone(case):
        return of_receptacle(case, ordinary(case, current, continuous=False))
    least = _effective(case)
    minimum = chosen("minimum_overcurrent_rating", least.value, cite, effective=least)
    largest = largest_welder_device(book, primary)
    demand = Demand(
        current,
        current,
        minimum,
        largest,
        chosen("circuit_load", least.value, cite, effective=least),
        chosen("minimum_conductor_ampacity", least.value, cite, effective=least),
        welder_conductor_limit,
        small_conductors_free=True,
    )
    made = of_receptacle(case, demand)
    if made.selected is largest:
        return replace(made, selected=least_welder_device(book, primary))
    return made


def _receptacle_checks(case: Case, demand: Demand, rating: Entry) -> Iterator[Check]:
    name = case.job.circuit.configuration
    if name is None or not _alone(case):
        yield from single_receptacle(case, demand, rating)
        return
    outlet = configuration(case.book, name.value)
    yield welder_receptacle(case.book, outlet.rating, rating, _effective(case))


def _checks(case: Case, _: Demand, rating: Entry) -> Iterator[Check]:
    yield equipment_is_listed(case.book, listed=truth(_welder(case).listed))
    largest = largest_welder_device(case.book, _primary(case))
    yield device_within_limit(rating, largest)
    note = welder_device_holds(case.book, rating, _primary(case))
    if note is not None:
        yield note


def _disconnect_checks(case: Case, demand: Demand, _: Entry) -> Iterator[Check]:
    yield means_of_disconnection(case, case.watts(demand.drawn))


def _loads(_: Case, at: str, demand: Demand) -> tuple[LoadLine, ...]:
    current = demand.drawn
    rating = chosen(f"{at}.current", current.value, current.cite, current=current)
    return (LoadLine("welder", rating),)


WELDER = KindOfWork(
    serves="welder",
    word=lambda _: "welder",
    activity=lambda _: "welder",
    name=lambda case: _welder(case).name,
    demand=_demand,
    loads=_loads,
    serves_alone="welder_conductors",
    maximum_device=lambda case: given(
        "equipment_maximum_device", _welder(case).maximum_overcurrent_device
    ),
    receptacle_checks=_receptacle_checks,
    checks=_checks,
    disconnect_checks=_disconnect_checks,
    fact_names=("is_welder", "serves_welder_only"),
    facts=lambda case, _: {"is_welder": True, "serves_welder_only": _alone(case)},
    unattended=False,
)
