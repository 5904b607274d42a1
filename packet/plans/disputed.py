"""Where books and offices read the code differently: the side the job takes, and the other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from packet import words
from packet.codebook import Book
from packet.jobfile.model import Job
from packet.ledger import Citation, Entry, Ledger, chosen
from packet.plans.givens import truth
from packet.rules.grounding import EquipmentGrounding, enlargement_is_disputed
from packet.rules.load import Readings
from packet.rules.readings import least_insulation_resistance
from packet.rules.vehicle_charging import setting_is_disputed

POOL = "at the reduced share"


@dataclass(frozen=True)
class Sides:
    """The sides taken; for the safe side every one is False or the default.

    Parameters
    ----------
    load : Readings
        Those of the load calculation.
    setting_counts : bool
        Whether a lower setting sizes a charging circuit in an edition without a rule for it.
    qualified_person_sizes : bool
        Whether the exception for enlarged equipment grounding conductors is used.
    earlier_insulation_limit : bool
        Whether the insulation test is held to the earlier limit.
    agreed : bool
        Whether somebody at the office is named who agrees.
    """

    load: Readings
    setting_counts: bool
    qualified_person_sizes: bool
    earlier_insulation_limit: bool
    agreed: bool


@dataclass(frozen=True)
class OtherReading:
    """One point outside the load calculation: the side taken, and what the other gives.

    `point` is its name in the glossary, under ``disputed``.
    """

    point: str
    taken: Entry
    other: Entry


def sides(job: Job) -> Sides:
    """Return the sides that a job takes; what it leaves out is taken on the safe side."""
    given = job.readings_of_the_code

    def says(key: str, word: str) -> bool:
        leaf = getattr(given, key) if given else None
        return leaf is not None and leaf.value == word

    agreed = bool(given and given.agreed_with)
    load = Readings(
        charger="pool" if says("vehicle_charger", POOL) else "full",
        existing_heating_and_cooling=(
            "pool" if says("existing_heating_and_cooling", POOL) else "full"
        ),
        solar_bars_year_record=not says("solar_and_a_year_of_data", "allowed"),
        fastened_charger="pool" if says("fastened_charger", "among the appliances") else "full",
        continuous_share_added=not says("continuous_share", "not added"),
        agreed=agreed,
    )
    return Sides(
        load,
        says("adjustable_charger", "setting counts"),
        says("enlarged_grounding_conductor", "by a qualified person"),
        says("insulation_resistance", "earlier limit"),
        agreed,
    )


def other_readings(
    book: Book,
    ledger: Ledger,
    job: Job,
    taken: Sides,
    grounding: EquipmentGrounding | None,
    own: Iterable[OtherReading],
) -> tuple[OtherReading, ...]:
    """Enter each disputed point outside the load calculation that this job meets.

    `own` are those of its kind of work.
    """
    points = (
        *own,
        _grounding(book, grounding, taken),
        _insulation(book, job, taken),
    )
    met = tuple(point for point in points if point is not None)
    for point in met:
        ledger.add(point.taken)
        ledger.add(point.other)
    return met


def setting_point(book: Book, ledger: Ledger, job: Job, taken: Sides) -> OtherReading | None:
    """Return the point whether a charger's lower setting sizes its circuit, where it is open."""
    setting = job.circuit.equipment and job.circuit.equipment.setting
    if not setting or not setting_is_disputed(book):
        return None
    if setting.access.value != "restricted" or not truth(setting.on_label):
        return None
    current = ledger["charging_current"]
    by_setting = current.value == setting.current.value
    other = ledger["charging.nameplate" if by_setting else "charging.setting"]
    cite = book.cite("setting_may_size_circuit")
    return _point("setting", "setting" if taken.setting_counts else "nameplate", other, cite)


def _grounding(book: Book, needed: EquipmentGrounding | None, taken: Sides) -> OtherReading | None:
    if needed is None or needed.required_area is None or not enlargement_is_disputed(book):
        return None
    cite = book.cite("enlargement_exception_for_qualified_persons")
    if taken.qualified_person_sizes:
        return _point("grounding", "by_person", needed.minimum, cite)
    return _point("grounding", "grows", needed.unenlarged, cite)


def _insulation(book: Book, job: Job, taken: Sides) -> OtherReading | None:
    if not truth(job.circuit.insulation_test):
        return None
    earlier = taken.earlier_insulation_limit
    cite = least_insulation_resistance(book, earlier=earlier).cite
    other = least_insulation_resistance(book, earlier=not earlier)
    return _point("insulation", "earlier" if earlier else "present", other, cite)


def _point(
    point: str, side: str, other: Entry, cite: tuple[Citation, ...] | Citation
) -> OtherReading:
    stem = f"disputed.{point}"
    taken = chosen(f"{stem}.taken", words.word(f"{stem}.{side}").label, cite)
    sources = other.cite or taken.cite
    given = chosen(f"{stem}.other", other.value, sources, other=other)
    return OtherReading(point, taken, given)
