"""What a kind of work is to the rest of the program: one frozen object for each kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from packet.codebook import Book
from packet.jobfile.model import Given, Job
from packet.ledger import Check, Citation, Entry, Kind, Ledger, chosen, compare, computed
from packet.plans.disputed import OtherReading, Sides
from packet.plans.givens import truth
from packet.quantities import quantity
from packet.rules.appliance import appliance_disconnect
from packet.rules.conductor import circuit_load, minimum_conductor_ampacity
from packet.rules.overcurrent import minimum_overcurrent_rating, selected_overcurrent_rating
from packet.rules.receptacle import (
    configuration,
    receptacle_carries_circuit,
    receptacle_matches_circuit,
)

RECEPTACLE = "receptacle"

WORDS = ("word", "the", "of_the", "title", "purpose", "letters")
"""What the equipment is called on pages: ``equipment.<word>.<form>`` of the glossary."""


@dataclass(frozen=True)
class Case:
    """One job on the desk: what every function of a kind of work is handed."""

    book: Book
    ledger: Ledger
    job: Job
    taken: Sides

    @property
    def is_receptacle(self) -> bool:
        """Say whether the equipment is plugged in; else it is wired."""
        return bool(self.job.circuit.connection.value == RECEPTACLE)

    def watts(self, current: Entry) -> Entry:
        """Return the power of a current at the voltage between two hot conductors [W]."""
        cite = self.book.cite("nameplate_load")
        voltage = self.book.figure("nominal_voltage")
        return computed("equipment_power", "I * V", cite, I=current, V=voltage)

    @property
    def by_electrician(self) -> bool:
        """Say whether a licensed electrician does the work."""
        return bool(self.job.people.work_by.value == "licensed electrician")


@dataclass(frozen=True)
class Demand:
    """What the equipment asks of its circuit; all in amperes.

    Parameters
    ----------
    drawn : Entry
        What the equipment draws, under the name that its kind has for it.
    current : Entry
        The same as the circuit's voltage drop and its load are reckoned from it.
    minimum, selected : Entry
        ``minimum_overcurrent_rating`` and ``selected_overcurrent_rating``.
    load, minimum_ampacity : Entry
        ``circuit_load`` without any factor, and ``minimum_conductor_ampacity``.
    device_limit : callable, optional
        For equipment whose own article protects its conductors: from code book, ledger name
        and usable ampacity to the largest overcurrent device. Left out, conductors are
        protected at their ampacity.
    small_conductors_free : bool
        Whether the limits for small conductors do not hold for it.
    """

    drawn: Entry
    current: Entry
    minimum: Entry
    selected: Entry
    load: Entry
    minimum_ampacity: Entry
    device_limit: Callable[[Book, str, Entry], Entry] | None = None
    small_conductors_free: bool = False


@dataclass(frozen=True)
class LoadLine:
    """A line of the load calculation: its kind there, its rating, and a name of its own.

    `rating` is called ``dwelling.load.n.current`` [A] or ``dwelling.load.n.rating`` [W or VA].
    """

    kind: str
    rating: Entry
    name: Given[str] | None = None


def ordinary(
    case: Case,
    current: Entry,
    *,
    continuous: bool,
    because: Citation | None = None,
) -> Demand:
    """Return the demand of a load by the rules that hold for every branch circuit.

    Parameters
    ----------
    case : Case
    current : Entry
        What the equipment draws [A].
    continuous : bool
        Whether it is a continuous load.
    because : Citation, optional
        What says so; left out, what says how much it draws.
    """
    book = case.book

    def part(name: str, *, whole: bool) -> Entry:
        if not whole:
            nothing = quantity(0, "A")
            return Entry(name, nothing, Kind.GIVEN, span=case.job.circuit.span)
        cite = because or current.cite
        return chosen(name, current.value, cite, current=current)

    rest = case.ledger.add(part("noncontinuous_load", whole=not continuous))
    steady = case.ledger.add(part("continuous_load", whole=continuous))
    minimum = minimum_overcurrent_rating(book, steady, rest)
    return Demand(
        current,
        steady if continuous else rest,
        minimum,
        selected_overcurrent_rating(book, minimum),
        circuit_load(book, steady, rest),
        minimum_conductor_ampacity(book, steady, rest),
    )


def _hots(case: Case) -> int:
    """Return two, unless the receptacle is one between a single hot conductor and neutral."""
    name = case.job.circuit.configuration
    if name is None:
        return 2
    highest = configuration(case.book, name.value).highest_voltage
    return 2 if highest.value >= case.book.figure("nominal_voltage").value else 1


def of_receptacle(case: Case, demand: Demand) -> Demand:
    """Return the demand with the device that plug and receptacle are made for.

    Where the equipment allows less than the receptacle's rating, or asks for more, the
    device stays as it was.
    """
    name = case.job.circuit.configuration
    if name is None:
        return demand
    rating = configuration(case.book, name.value).rating
    small = rating.value < demand.minimum.value
    if small or (demand.device_limit is not None and rating.value > demand.selected.value):
        return demand
    cite = case.book.cite("single_receptacle")
    limits = {"receptacle": rating, "minimum": demand.minimum}
    return replace(
        demand, selected=chosen("selected_overcurrent_rating", rating.value, cite, **limits)
    )


def rated(at: str, leaf: Given[Any]) -> Entry:
    """Return a nameplate rating under the beginning `at` of a ledger name."""
    in_amperes = leaf.value.check("[current]")
    return Entry(
        f"{at}.current" if in_amperes else f"{at}.rating", leaf.value, Kind.GIVEN, span=leaf.span
    )


def single_receptacle(
    case: Case, _: Demand, rating: Entry, *, charging: bool = False
) -> Iterator[Check]:
    """Judge the rating of a single receptacle against its circuit."""
    name = case.job.circuit.configuration
    if name is not None:
        outlet = configuration(case.book, name.value)
        yield receptacle_carries_circuit(case.book, outlet.rating, rating)
        yield receptacle_matches_circuit(case.book, outlet.rating, rating, charging=charging)


def means_of_disconnection(case: Case, load: Entry) -> Check:
    """Judge how an appliance of `load` [VA or W] is taken off power."""
    circuit = case.job.circuit
    return appliance_disconnect(
        case.book,
        circuit.connection.value,
        load,
        in_sight=truth(circuit.disconnect_in_sight),
    )


def _no_checks(_: Case, __: Demand, ___: Entry) -> Iterator[Check]:
    return iter(())


def _no_facts(_: Case, __: Demand) -> Mapping[str, bool]:
    return {}


def _no_points(_: Case) -> Iterator[OtherReading]:
    return iter(())


def _no_maximum(_: Case) -> Entry | None:
    return None


def _feeder_check(case: Case, rating: Entry, demand: Demand) -> Check:
    cite = case.book.cite("supply_carries_load")
    return compare("feeder_carries_equipment", rating, ">=", demand.load, cite)


@dataclass(frozen=True)
class KindOfWork:
    """One kind of work, as the plan of a branch circuit asks for it.

    Parameters
    ----------
    serves : str
        The word of the job file, ``circuit.serves``.
    word : callable
        Which of the glossary's ``equipment`` the pages speak of.
    activity : callable
        What the rules of ground-fault protection call what the outlet serves.
    name : callable
        The own name of the equipment, where the job gives it one.
    demand : callable
        What the equipment asks of its circuit, entered and judged.
    loads : callable
        Its lines in the load calculation, from case, the beginning ``dwelling.load.n`` of the
        first one's ledger names, and demand.
    serves_alone : str
        The rule of the code book by which nothing else is on its circuit.
    maximum_device : callable
        ``equipment_maximum_device``, which the label or the instructions allow [A].
    receptacle_checks, checks, disconnect_checks : callable
        Judgments of its own on the receptacle, on the equipment, and on how it is mounted and
        taken off power; from case, demand and rating of the overcurrent device.
    feeder_check : callable
        Judges a feeder against the new load alone; from case, rating of the feeder, demand.
    hots : callable
        How many hot conductors the circuit has: two, or one beside a neutral.
    needs_neutral : callable
        Whether wired equipment needs a neutral; a receptacle says so itself.
    fastened : callable
        Whether the load calculation takes it for fastened in place; None is not known.
    fact_names : tuple of str
        Facts that only this kind can make true; for all other kinds they are entered as false.
    facts : callable
        Those of them that hold or not.
    points : callable
        Disputed readings of the code that only this kind meets.
    shows_voltage : bool
        Whether a voltage can be read while the equipment runs, with everything closed.
    unattended : bool
        Whether a plug stays in while nobody is there.
    """

    serves: str
    word: Callable[[Case], str]
    activity: Callable[[Case], str]
    name: Callable[[Case], Given[str] | None]
    demand: Callable[[Case], Demand]
    loads: Callable[[Case, str, Demand], tuple[LoadLine, ...]]
    serves_alone: str
    maximum_device: Callable[[Case], Entry | None] = _no_maximum
    receptacle_checks: Callable[[Case, Demand, Entry], Iterator[Check]] = single_receptacle
    checks: Callable[[Case, Demand, Entry], Iterator[Check]] = _no_checks
    disconnect_checks: Callable[[Case, Demand, Entry], Iterator[Check]] = _no_checks
    feeder_check: Callable[[Case, Entry, Demand], Check] = _feeder_check
    hots: Callable[[Case], int] = _hots
    needs_neutral: Callable[[Case], bool] = lambda _: False
    fastened: Callable[[Case], bool | None] = lambda case: not case.is_receptacle
    fact_names: tuple[str, ...] = ()
    facts: Callable[[Case, Demand], Mapping[str, bool]] = _no_facts
    points: Callable[[Case], Iterator[OtherReading]] = _no_points
    shows_voltage: bool = False
    unattended: bool = True

    def voltage(self, case: Case) -> Entry:
        """Return the nominal voltage between the circuit's conductors [V]."""
        both = self.hots(case) > 1
        return case.book.figure("nominal_voltage" if both else "nominal_voltage_to_ground")
