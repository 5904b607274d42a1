"""Whether an outlet needs ground-fault protection for people, and whether it has it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import Enum

from packet import words
from packet.codebook import Book
from packet.ledger import Check, Citation, Entry, Verdict, chosen

OPEN_AIR = frozenset({"outdoors", "carport"})
RECEPTACLE = "receptacle"
CHARGING = "vehicle charging"
OUTDOOR_UNIT = "heating or cooling unit"
SPA = "spa"
GFCI = "GFCI"
STANDARD = "standard"


class Need(Enum):
    """What a rule says of an outlet."""

    YES = "required"
    NO = "not_required"
    ASK = "not_known"


@dataclass(frozen=True)
class Outlet:
    """An outlet as the ground-fault rules see it.

    Parameters
    ----------
    connection : str
        ``receptacle`` or ``hardwired``.
    place : str
        Where it is, for example ``garage``, ``outdoors`` or ``hall``.
    serves : str
        What it serves, for example ``vehicle charging``, ``dryer`` or ``general use``.
    voltage : Entry
        Between its conductors [V].
    voltage_to_ground : Entry
        [V].
    rating : Entry
        Of the branch circuit [A].
    near_sink : bool
        Whether it is within the code's reach of a sink, tub or shower.
    work_date : date, optional
        First day of work: some rules begin on a date.
    early_rule_adopted : bool, optional
        Whether the interim rule on charging receptacles is in force; asked in one edition.
    outdoor_rule_adopted : bool, optional
        Whether the rule on outdoor outlets is in force; some places put it off.
    """

    connection: str
    place: str
    serves: str
    voltage: Entry
    voltage_to_ground: Entry
    rating: Entry
    near_sink: bool = False
    work_date: date | None = None
    early_rule_adopted: bool | None = None
    outdoor_rule_adopted: bool | None = None


def ground_fault_need(book: Book, outlet: Outlet) -> tuple[Need, tuple[Citation, ...]]:
    """Return whether the outlet needs ground-fault protection, and the rules that say so.

    One rule that requires it is enough; where none does and one cannot be answered, the
    building office is asked.

    Parameters
    ----------
    book : Book
    outlet : Outlet

    Returns
    -------
    tuple of Need and tuple of Citation

    Rule
    ----
    gfci_charging_receptacle, gfci_charging_hardwired, gfci_receptacle_places,
    gfci_appliances, gfci_outdoor_top_rating, gfci_spa
    """
    answers = list(_answers(book, outlet))
    given = {answer for answer, _ in answers}
    need = next(need for need in (Need.YES, Need.ASK, Need.NO) if need in given)
    return need, tuple(dict.fromkeys(cite for answer, cite in answers if answer is need))


def _answers(book: Book, outlet: Outlet) -> Iterator[tuple[Need, Citation]]:
    if outlet.serves == CHARGING:
        yield _charging(book, outlet)
    if outlet.serves == SPA:
        yield Need.YES, book.cite("gfci_spa")
    if outlet.connection == RECEPTACLE:
        yield _receptacle_place(book, outlet)
    yield _appliance(book, outlet)
    if outlet.place in OPEN_AIR:
        yield _outdoor(book, outlet)


def _within(book: Book, outlet: Outlet, top_rating: str) -> bool:
    to_ground = book.figure("gfci_top_voltage_to_ground")
    limit = book.figure(top_rating)
    return bool(
        outlet.voltage_to_ground.value <= to_ground.value and outlet.rating.value <= limit.value
    )


def _charging(book: Book, outlet: Outlet) -> tuple[Need, Citation]:
    if outlet.connection != RECEPTACLE:
        cite = book.cite("gfci_charging_hardwired")
        if not book.has("gfci_charging_hardwired"):
            return Need.NO, cite
        low = outlet.voltage_to_ground.value <= book.figure("gfci_top_voltage_to_ground").value
        return (Need.YES if low else Need.ASK), cite
    cite = book.cite("gfci_charging_receptacle")
    if book.has("gfci_charging_receptacle"):
        return Need.YES, cite
    interim = book.cite("gfci_interim_charging_top_rating")
    if not _within(book, outlet, "gfci_interim_charging_top_rating"):
        return Need.NO, interim
    return _adopted(outlet.early_rule_adopted), interim


def _adopted(adopted: bool | None) -> Need:
    if adopted is None:
        return Need.ASK
    return Need.YES if adopted else Need.NO


def _receptacle_place(book: Book, outlet: Outlet) -> tuple[Need, Citation]:
    cite = book.cite("gfci_receptacle_places")
    in_scope = (
        outlet.voltage.value <= book.figure("gfci_receptacle_top_voltage").value
        and outlet.voltage_to_ground.value <= book.figure("gfci_top_voltage_to_ground").value
    )
    if book.has("gfci_receptacle_top_rating"):
        in_scope &= outlet.rating.value <= book.figure("gfci_receptacle_top_rating").value
    places = str(book.figure("gfci_receptacle_places").value).split(", ")
    listed = outlet.near_sink or outlet.place in places or outlet.place in OPEN_AIR
    return (Need.YES if in_scope and listed else Need.NO), cite


def _appliance(book: Book, outlet: Outlet) -> tuple[Need, Citation]:
    cite = book.cite("gfci_appliances")
    appliances = str(book.figure("gfci_appliances").value).split(", ")
    if outlet.serves not in appliances:
        return Need.NO, cite
    return (Need.YES if _within(book, outlet, "gfci_appliance_top_rating") else Need.NO), cite


def _outdoor(book: Book, outlet: Outlet) -> tuple[Need, Citation]:
    cite = book.cite("gfci_outdoor_top_rating")
    if not book.has("gfci_outdoor_top_rating") or not _within(
        book, outlet, "gfci_outdoor_top_rating"
    ):
        return Need.NO, cite
    if outlet.outdoor_rule_adopted is False:
        return Need.NO, cite
    if outlet.serves == OUTDOOR_UNIT and outlet.connection != RECEPTACLE:
        return _outdoor_unit(book, outlet), book.cite("gfci_outdoor_unit_from")
    return Need.YES, cite


def _outdoor_unit(book: Book, outlet: Outlet) -> Need:
    """Outdoor heating and cooling units come under the rule later than other outlets."""
    if not book.knows("gfci_outdoor_unit_from"):
        return _adopted(outlet.outdoor_rule_adopted)
    if outlet.work_date is None:
        return Need.ASK
    first_day = date.fromisoformat(str(book.figure("gfci_outdoor_unit_from").value))
    return Need.YES if outlet.work_date >= first_day else Need.NO


@dataclass(frozen=True)
class GroundFault:
    """The answer for one outlet: is it required, which device is taken, is that enough."""

    required: Entry
    device_kind: Entry
    check: Check


def ground_fault_protection(book: Book, outlet: Outlet, given: Entry | None = None) -> GroundFault:
    """Return whether protection is required, the kind of breaker, and whether it serves.

    Parameters
    ----------
    book : Book
    outlet : Outlet
    given : Entry, optional
        ``GFCI`` or ``standard``; left out, a GFCI breaker is taken unless no rule needs one.

    Returns
    -------
    GroundFault
        With the check ``ground_fault_protection_is_there``.
    """
    need, cites = ground_fault_need(book, outlet)
    label = words.word(f"ground_fault.answer.{need.value}").label
    required = chosen("ground_fault.required", label, cites, rating=outlet.rating)
    kind = given.value if given else (STANDARD if need is Need.NO else GFCI)
    limits = {"required": required} | ({"given": given} if given else {})
    device = chosen("selected_device_kind", kind, cites, **limits)
    if need is Need.NO or kind == GFCI:
        verdict = Verdict.MEETS
    else:
        verdict = Verdict.ASK if need is Need.ASK else Verdict.FALLS_SHORT
    remedy = chosen("device_kind_needed", GFCI, cites, required=required)
    check = Check(
        "ground_fault_protection_is_there",
        verdict,
        cites,
        left=device,
        right=required,
        remedy=None if verdict is Verdict.MEETS else remedy,
    )
    return GroundFault(required, device, check)
