"""Vehicle charging circuits: their current, their receptacle, and who may put them in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed

HARDWIRED = "hardwired"
INDOORS = frozenset(
    {"garage", "basement", "laundry", "kitchen", "accessory building", "other room"}
)


@dataclass(frozen=True)
class Setting:
    """A lower current that the charger is set to, and what keeps it there; None is not known."""

    current: Entry
    access_restricted: bool | None
    on_label: bool | None


def charging_current(
    book: Book,
    nameplate: Entry,
    setting: Setting | None = None,
    *,
    fastened: bool | None = None,
    setting_counts: bool = False,
    agreed: bool = False,
) -> tuple[Entry, tuple[Check, ...]]:
    """Return the current that circuit and service are reckoned for, and why.

    It is the nameplate current, unless a lower setting may stand in for it: in an edition
    that allows it, behind restricted access, written on the label.

    Parameters
    ----------
    book : Book
    nameplate : Entry
        Largest current on the nameplate [A].
    setting : Setting, optional
    fastened : bool, optional
        Whether the charger is fastened in place; None where nobody says.
    setting_counts : bool
        Whether a setting is taken in an edition that has no rule for it.
    agreed : bool
        Whether the building office agrees to that; else it is asked for.

    Returns
    -------
    tuple of Entry and tuple of Check
        ``charging_current`` [A]; ``setting_may_size_circuit`` and
        ``setting_within_nameplate`` where there is a setting.

    Rule
    ----
    setting_may_size_circuit
    """
    cite = book.cite("setting_may_size_circuit")
    if setting is None:
        rule = book.cite("ev_load_is_continuous")
        return chosen("charging_current", nameplate.value, rule, nameplate=nameplate), ()
    verdict = _setting_verdict(book, setting, fastened, setting_counts)
    taken = setting.current if verdict is Verdict.MEETS else nameplate
    if verdict is Verdict.MEETS and setting_is_disputed(book) and not agreed:
        verdict = Verdict.ASK
    lower = min(taken.value, nameplate.value)
    current = chosen("charging_current", lower, cite, nameplate=nameplate, setting=setting.current)
    checks = (
        Check("setting_may_size_circuit", verdict, (cite,), setting.current, right=nameplate),
        compare(
            "setting_within_nameplate", setting.current, "<=", nameplate, cite, remedy=nameplate
        ),
    )
    return current, checks


def setting_is_disputed(book: Book) -> bool:
    """Say whether the edition has no rule for a lower setting, so that offices differ."""
    return bool(book.figure("setting_may_size_circuit").value == "none")


def _setting_verdict(
    book: Book, setting: Setting, fastened: bool | None, setting_counts: bool
) -> Verdict:
    """Where a setting may not stand in, the nameplate does: that is allowed, so a note."""
    allows = book.figure("setting_may_size_circuit").value
    equipment: dict[str, bool | None] = {
        "none": setting_counts,
        "fastened": fastened,
        "any": True,
    }
    conditions = (equipment[allows], setting.access_restricted, setting.on_label)
    if any(condition is False for condition in conditions):
        return Verdict.NOTE
    return Verdict.MEETS if all(conditions) else Verdict.ASK


def charging_current_of_receptacle(book: Book, rating: Entry) -> Entry:
    """Return the largest continuous current that a receptacle's circuit lets a charger draw.

    Parameters
    ----------
    book : Book
    rating : Entry
        Of the overcurrent device, or of the receptacle where none is given [A].

    Returns
    -------
    Entry
        ``charging_current`` [A].
    """
    return computed(
        "charging_current",
        "I / k",
        book.cite("ev_load_is_continuous"),
        I=rating,
        k=book.figure("continuous_load_factor"),
    )


def individual_circuit(
    book: Book, current: Entry, voltage: Entry, *, serves_others: bool | None
) -> Check:
    """Judge whether the charging outlet is alone on its circuit, where it must be.

    Parameters
    ----------
    book : Book
    current : Entry
        Of the charger [A].
    voltage : Entry
        Of the circuit [V].
    serves_others : bool or None
        Whether other outlets are on the circuit.

    Returns
    -------
    Check
        ``charging_circuit_is_individual``.

    Rule
    ----
    individual_charging_circuit
    """
    cite = (book.cite("individual_charging_circuit"),)
    name = "charging_circuit_is_individual"
    if serves_others is False:
        return Check(name, Verdict.MEETS, cite, facts=(current, voltage))
    if book.has("individual_circuit_above_current"):
        amperes = book.figure("individual_circuit_above_current")
        volts = book.figure("individual_circuit_above_voltage")
        if current.value <= amperes.value and voltage.value <= volts.value:
            return Check(name, Verdict.MEETS, cite, facts=(current, voltage))
    verdict = Verdict.ASK if serves_others is None else Verdict.FALLS_SHORT
    return Check(name, verdict, cite, facts=(current, voltage))


def receptacle_is_for_charging(book: Book, configuration: Entry, *, fastened: bool | None) -> Check:
    """Judge whether a charger may hang on a receptacle of this configuration.

    Parameters
    ----------
    book : Book
    configuration : Entry
        For example ``14-50``.
    fastened : bool or None
        Whether the charger is fastened in place.

    Returns
    -------
    Check
        ``receptacle_is_for_charging``.

    Rule
    ----
    receptacles_for_portable_chargers, receptacles_for_fastened_chargers
    """
    portable = book.figure("receptacles_for_portable_chargers")
    stationary = book.figure("receptacles_for_fastened_chargers")
    name = "receptacle_is_for_charging"
    if configuration.value in _listed(portable):
        return Check(name, Verdict.MEETS, portable.cite, configuration, right=portable)
    if configuration.value not in _listed(stationary):
        return Check(name, Verdict.FALLS_SHORT, stationary.cite, configuration, right=stationary)
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[fastened]
    right = stationary if fastened else portable
    return Check(name, verdict, stationary.cite, configuration, right=right)


def _listed(figure: Entry) -> list[str]:
    return str(figure.value).split(", ")


def cord_carries_current(book: Book, current: Entry) -> Check:
    """Judge whether a charger of this current may be connected by cord and plug.

    Parameters
    ----------
    book : Book
    current : Entry
        ``charging_current`` [A].

    Returns
    -------
    Check
        ``cord_carries_current``; the remedy is the largest current on a cord.
    """
    limit = book.figure("largest_cord_connected_current")
    return compare("cord_carries_current", current, "<=", limit, limit.cite, remedy=limit)


def receptacle_grade(book: Book, rating: Entry, grade: Entry | None) -> Check:
    """Judge whether the receptacle is made for charging, where its rating asks for it.

    Parameters
    ----------
    book : Book
    rating : Entry
        Of the receptacle [A].
    grade : Entry or None
        ``standard``, ``industrial`` or ``listed for vehicle charging``.

    Returns
    -------
    Check
        ``receptacle_is_listed_for_charging``; before the edition that asks for the listing,
        a receptacle of standard or unknown grade is noted.

    Rule
    ----
    charging_receptacle_listing
    """
    name, cite = "receptacle_is_listed_for_charging", (book.cite("charging_receptacle_listing"),)
    listed = grade is not None and grade.value == "listed for vehicle charging"
    facts = (rating,) if grade is None else (rating, grade)
    if listed:
        return Check(name, Verdict.MEETS, cite, facts=facts)
    if not book.has("charging_receptacle_listing"):
        sturdy = grade is not None and grade.value == "industrial"
        return Check(name, Verdict.MEETS if sturdy else Verdict.NOTE, cite, facts=facts)
    if rating.value < book.figure("charging_receptacle_listing").value:
        return Check(name, Verdict.MEETS, cite, facts=facts)
    verdict = Verdict.ASK if grade is None else Verdict.FALLS_SHORT
    return Check(name, verdict, cite, facts=facts)


def charger_is_listed(book: Book, *, listed: bool | None) -> Check:
    """Judge whether the charger carries a listing mark; ``charger_is_listed``."""
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[listed]
    return Check("charger_is_listed", verdict, (book.cite("charger_listing"),))


def installer_is_qualified(
    book: Book, connection: str, *, licensed_electrician: bool
) -> Check | None:
    """Judge who may put in a permanently connected charger, in the edition that asks.

    Parameters
    ----------
    book : Book
    connection : str
        ``receptacle`` or ``hardwired``.
    licensed_electrician : bool
        Whether one does the work.

    Returns
    -------
    Check or None
        ``installer_is_qualified``; None where the rule does not apply.
    """
    if connection != HARDWIRED or not book.has("qualified_installer"):
        return None
    verdict = Verdict.MEETS if licensed_electrician else Verdict.ASK
    return Check("installer_is_qualified", verdict, (book.cite("qualified_installer"),))


def charging_needs_no_ventilation(
    book: Book, place: str, *, marked_for_indoors: bool | None
) -> Check | None:
    """Judge whether a charger indoors is marked for charging without ventilation.

    Returns
    -------
    Check or None
        ``charging_needs_no_ventilation``; None outdoors. A charger without the mark needs
        a ventilation that somebody designs, so the answer is asked for.
    """
    if place not in INDOORS:
        return None
    verdict = Verdict.MEETS if marked_for_indoors else Verdict.ASK
    return Check("charging_needs_no_ventilation", verdict, (book.cite("charging_ventilation"),))


def mounting_checks(book: Book, place: str, height: Entry | None) -> Iterator[Check]:
    """Note how high the coupler is kept and how long cords may be.

    Yields
    ------
    Check
        ``coupler_is_high_enough`` and ``cords_are_short_enough``.
    """
    indoors = place in INDOORS
    least = book.figure("coupler_height_indoors" if indoors else "coupler_height_outdoors")
    name = "coupler_is_high_enough"
    if height is None:
        yield Check(name, Verdict.NOTE, least.cite, right=least)
    else:
        yield compare(name, height, ">=", least, least.cite, otherwise=Verdict.NOTE, remedy=least)
    cords = (book.figure("charger_supply_cord_length"), book.figure("charger_cable_length"))
    cites = tuple(citation for cord in cords for citation in cord.cite)
    yield Check("cords_are_short_enough", Verdict.NOTE, cites, facts=cords)
