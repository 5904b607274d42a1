"""A clothes dryer on a four-wire receptacle (422.10, 250.140)."""

from __future__ import annotations

from collections.abc import Iterator

from packet.jobfile.model import Dryer
from packet.ledger import Check, Entry
from packet.plans.givens import given, must, truth
from packet.plans.kinds.kind import (
    Case,
    Demand,
    KindOfWork,
    LoadLine,
    means_of_disconnection,
    of_receptacle,
    ordinary,
    rated,
    single_receptacle,
)
from packet.rules.appliance import (
    appliance_current,
    equipment_is_listed,
    four_wires,
)
from packet.rules.receptacle import configuration


def _dryer(case: Case) -> Dryer:
    dryer = case.job.circuit.dryer
    if dryer is None:
        raise LookupError("the reader makes sure that a dryer is described")
    return dryer


def _rating(case: Case) -> Entry:
    return must("appliance.rating", _dryer(case).rating)


def _demand(case: Case) -> Demand:
    current = appliance_current(case.book, _rating(case), case.book.figure("nominal_voltage"))
    return of_receptacle(case, ordinary(case, current, continuous=False))


def _receptacle_checks(case: Case, demand: Demand, rating: Entry) -> Iterator[Check]:
    yield from single_receptacle(case, demand, rating)
    name = case.job.circuit.configuration
    if name is not None:
        yield four_wires(case.book, configuration(case.book, name.value))


def _checks(case: Case, _: Demand, __: Entry) -> Iterator[Check]:
    yield equipment_is_listed(case.book, listed=truth(_dryer(case).listed))


def _disconnect_checks(case: Case, _: Demand, __: Entry) -> Iterator[Check]:
    yield means_of_disconnection(case, _rating(case))


DRYER = KindOfWork(
    serves="dryer",
    word=lambda _: "dryer",
    activity=lambda _: "dryer",
    name=lambda case: _dryer(case).name,
    demand=_demand,
    loads=lambda case, at, _: (LoadLine("dryer", rated(at, _dryer(case).rating)),),
    serves_alone="appliance_circuit_rating",
    maximum_device=lambda case: given(
        "equipment_maximum_device", _dryer(case).maximum_overcurrent_device
    ),
    receptacle_checks=_receptacle_checks,
    checks=_checks,
    disconnect_checks=_disconnect_checks,
    needs_neutral=lambda _: True,
    fact_names=("is_dryer",),
    facts=lambda _, __: {"is_dryer": True},
)
