"""Charging a vehicle: by a receptacle, or a charger wired in place (Article 625)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from packet.jobfile.model import Setting
from packet.ledger import Check, Entry, Verdict, chosen
from packet.plans.disputed import OtherReading, setting_point
from packet.plans.givens import given, must, truth
from packet.plans.kinds.kind import (
    Case,
    Demand,
    KindOfWork,
    LoadLine,
    ordinary,
    single_receptacle,
)
from packet.rules import receptacle as receptacles
from packet.rules import vehicle_charging as charging
from packet.rules.disconnect import charger_disconnect
from packet.rules.ground_fault import CHARGING
from packet.rules.panel import feeder_carries_charger


def _demand(case: Case) -> Demand:
    current = _current(case)
    because = case.book.cite("ev_load_is_continuous")
    return ordinary(case, current, continuous=True, because=because)


def _current(case: Case) -> Entry:
    """Return the current that circuit and service are reckoned for, and judge its setting."""
    book, ledger, equipment = case.book, case.ledger, case.job.circuit.equipment
    if equipment is None:
        return ledger.add(charging.charging_current_of_receptacle(book, _limit(case)))
    setting = equipment.setting and charging.Setting(
        must("charging.setting", equipment.setting.current),
        _restricted(equipment.setting),
        truth(equipment.setting.on_label),
    )
    current, checks = charging.charging_current(
        book,
        must("charging.nameplate", equipment.nameplate_current),
        setting,
        fastened=_fastened(case),
        setting_counts=case.taken.setting_counts,
        agreed=case.taken.agreed,
    )
    for check in checks:
        ledger.judge(check)
    return ledger.add(current)


def _limit(case: Case) -> Entry:
    """Return what bounds the current where no charger is named; ask where nothing does."""
    circuit = case.job.circuit
    limit = given("overcurrent_rating", circuit.overcurrent_device)
    if limit is None and circuit.configuration is not None:
        limit = receptacles.configuration(case.book, circuit.configuration.value).rating
    if limit is None:
        cite = (case.book.cite("ev_load_is_continuous"),)
        case.ledger.judge(Check("charger_is_known", Verdict.ASK, cite))
        limit = case.book.figure("smallest_power_circuit_rating")
    return limit


def _restricted(setting: Setting) -> bool | None:
    access = setting.access.value
    return None if access is None else access == "restricted"


def _fastened(case: Case) -> bool | None:
    equipment = case.job.circuit.equipment
    if not case.is_receptacle:
        return True
    return truth(equipment.fastened) if equipment else None


def _needs_neutral(case: Case) -> bool:
    equipment = case.job.circuit.equipment
    return bool(equipment and truth(equipment.neutral))


def _loads(case: Case, at: str, demand: Demand) -> tuple[LoadLine, ...]:
    cite = case.book.cite("ev_load_is_continuous")
    steady = demand.current
    return (
        LoadLine("vehicle charger", chosen(f"{at}.current", steady.value, cite, charging=steady)),
    )


def _receptacle_checks(case: Case, demand: Demand, device: Entry) -> Iterator[Check]:
    circuit, book = case.job.circuit, case.book
    yield from single_receptacle(case, demand, device, charging=True)
    configuration = must("circuit.configuration", circuit.configuration)
    yield charging.receptacle_is_for_charging(book, configuration, fastened=_fastened(case))
    rating = receptacles.configuration(book, str(configuration.value)).rating
    grade = given("circuit.receptacle_grade", circuit.receptacle_grade)
    yield charging.receptacle_grade(book, rating, grade)


def _checks(case: Case, demand: Demand, _: Entry) -> Iterator[Check]:
    book, circuit = case.book, case.job.circuit
    voltage = book.figure("nominal_voltage")
    yield charging.individual_circuit(book, demand.current, voltage, serves_others=False)
    if case.is_receptacle:
        yield charging.cord_carries_current(book, demand.current)
    equipment = circuit.equipment
    if equipment is not None:
        yield charging.charger_is_listed(book, listed=truth(equipment.listed))
        ventilation = charging.charging_needs_no_ventilation(
            book,
            circuit.place.value,
            marked_for_indoors=truth(equipment.indoor_charging_listed),
        )
        if ventilation is not None:
            yield ventilation
    qualified = charging.installer_is_qualified(
        book, circuit.connection.value, licensed_electrician=case.by_electrician
    )
    if qualified is not None:
        yield qualified


def _disconnect_checks(case: Case, demand: Demand, _: Entry) -> Iterator[Check]:
    book, circuit = case.book, case.job.circuit
    height = given("circuit.height", circuit.height)
    yield from charging.mounting_checks(book, circuit.place.value, height)
    yield from charger_disconnect(
        book,
        circuit.connection.value,
        demand.current,
        book.figure("nominal_voltage_to_ground"),
        in_sight=truth(circuit.disconnect_in_sight),
    )


def _facts(case: Case, demand: Demand) -> Mapping[str, bool]:
    """Return the facts; a setting that was used is entered as what the charger is set to."""
    current, equipment = demand.drawn, case.job.circuit.equipment
    setting = equipment.setting if equipment else None
    used = setting is not None and current.value == setting.current.value
    if used:
        case.ledger.add(
            chosen("charging_current_setting", current.value, current.cite, setting=current)
        )
    return {"is_charger": True, "setting_is_restricted": used}


def _points(case: Case) -> Iterator[OtherReading]:
    point = setting_point(case.book, case.ledger, case.job, case.taken)
    if point is not None:
        yield point


def _most(case: Case) -> Entry | None:
    equipment = case.job.circuit.equipment
    return given("equipment_maximum_device", equipment and equipment.maximum_overcurrent_device)


VEHICLE_CHARGING = KindOfWork(
    serves="vehicle charging",
    word=lambda _: "charger",
    activity=lambda _: CHARGING,
    name=lambda case: case.job.circuit.equipment and case.job.circuit.equipment.name,
    demand=_demand,
    loads=_loads,
    serves_alone="individual_charging_circuit",
    maximum_device=_most,
    receptacle_checks=_receptacle_checks,
    checks=_checks,
    disconnect_checks=_disconnect_checks,
    feeder_check=lambda case, rating, demand: feeder_carries_charger(
        case.book, rating, demand.current
    ),
    needs_neutral=_needs_neutral,
    fastened=_fastened,
    fact_names=("is_charger", "setting_is_restricted"),
    facts=_facts,
    points=_points,
    shows_voltage=True,
)
