"""Whether an outlet needs ground-fault protection for people, and whether it has it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
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
DRYER = "dryer"
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
    sink_distance : Entry, optional
        To the nearest sink, tub or shower [ft]; None where nobody has measured it.
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
    sink_distance: Entry | None = None
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
    gfci_sink_distance, gfci_appliances, gfci_outdoor_top_rating, gfci_spa
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
        yield from _receptacle_place(book, outlet)
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


def _receptacle_place(book: Book, outlet: Outlet) -> Iterator[tuple[Need, Citation]]:
    cite = book.cite("gfci_receptacle_places")
    in_scope = (
        outlet.voltage.value <= book.figure("gfci_receptacle_top_voltage").value
        and outlet.voltage_to_ground.value <= book.figure("gfci_top_voltage_to_ground").value
    )
    if book.has("gfci_receptacle_top_rating"):
        in_scope &= outlet.rating.value <= book.figure("gfci_receptacle_top_rating").value
    places = str(book.figure("gfci_receptacle_places").value).split(", ")
    listed = outlet.place in places or outlet.place in OPEN_AIR
    if not in_scope or listed:
        yield (Need.YES if in_scope else Need.NO), cite
        return
    # A dryer can make a laundry area of a place that goes by another name.
    yield (Need.ASK if outlet.serves == DRYER else Need.NO), cite
    reach = book.figure("gfci_sink_distance")
    if outlet.sink_distance is None:
        yield Need.ASK, reach.cite[0]
    else:
        near = outlet.sink_distance.value <= reach.value
        yield (Need.YES if near else Need.NO), reach.cite[0]


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
    sink = {"sink_distance": outlet.sink_distance} if outlet.sink_distance else {}
    required = chosen("ground_fault.required", label, cites, rating=outlet.rating, **sink)
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


def open_ground_fault_answers(
    book: Book, outlet: Outlet, device_kind: Entry, final: Entry | None = None
) -> Iterator[Check]:
    """Ask what decides about protection that the breaker has not, each question for itself.

    Parameters
    ----------
    book : Book
    outlet : Outlet
    device_kind : Entry
        ``selected_device_kind``.
    final : Entry, optional
        Day of the final inspection, once it is known.

    Yields
    ------
    Check
        ``sink_distance_is_known``, ``dryer_place_is_settled`` and, with `final`,
        ``ground_fault_start_is_settled``: whether the work goes on past the first day of a
        rule.

    Rule
    ----
    gfci_sink_distance, gfci_receptacle_places, gfci_outdoor_unit_from
    """
    if device_kind.value == GFCI:
        return
    need, cites = ground_fault_need(book, outlet)
    if final is not None:
        later, later_cites = ground_fault_need(book, replace(outlet, work_date=final.value))
        if need is Need.NO and later is not Need.NO:
            first_day = book.figure("gfci_outdoor_unit_from")
            name = "ground_fault_start_is_settled"
            yield Check(name, Verdict.ASK, later_cites, left=final, right=first_day)
        return
    if need is not Need.ASK:
        return
    reach = book.figure("gfci_sink_distance")
    if reach.cite[0] in cites:
        yield Check("sink_distance_is_known", Verdict.ASK, reach.cite, right=reach)
    place = book.cite("gfci_receptacle_places")
    if place in cites:
        yield Check("dryer_place_is_settled", Verdict.ASK, (place,))
