"""Appliances on a circuit of their own: dryers, water heaters, cooking, by their nameplates.

Sources: NEC 422.10 to 422.13, 422.31 and 422.33; 250.140; 210.19(A)(3), 210.19(C) in later
editions; Table 220.55 with its notes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed, decimal_of
from packet.rules.load.cooking import Appliance, as_one_range, cooking_demand
from packet.rules.overcurrent import standard_ratings
from packet.rules.receptacle import Configuration

RECEPTACLE = "receptacle"


def appliance_current(book: Book, rating: Entry, voltage: Entry) -> Entry:
    """Return what an appliance draws by its nameplate, ``equipment_current`` [A].

    Rule
    ----
    appliance_circuit_rating
    """
    cite = book.cite("appliance_circuit_rating")
    return computed("equipment_current", "P / V", cite, P=rating, V=voltage)


def is_storage_heater(book: Book, volume: Entry | None) -> bool:
    """Say whether the rule for storage heaters holds; a volume that nobody knows is taken so.

    Rule
    ----
    storage_heater_top_volume
    """
    return volume is None or bool(volume.value <= book.figure("storage_heater_top_volume").value)


def storage_heater_rating(book: Book, name: str, current: Entry) -> Entry:
    """Return the least rating of a storage heater's circuit, or of its conductors, as `name` [A].

    Rule
    ----
    storage_heater_factor
    """
    k = book.figure("storage_heater_factor")
    return computed(name, "k * I", k.cite, k=k, I=current)


def largest_appliance_device(book: Book, current: Entry) -> Entry:
    """Return the largest overcurrent device of one appliance whose label names none [A].

    Parameters
    ----------
    current : Entry
        ``equipment_current`` [A].

    Returns
    -------
    Entry
        ``appliance.largest_device``.

    Rule
    ----
    unmarked_appliance_device_factor, unmarked_appliance_small_current,
    unmarked_appliance_small_device
    """
    k = book.figure("unmarked_appliance_device_factor")
    small = book.figure("unmarked_appliance_small_current")
    if current.value <= small.value:
        device = book.figure("unmarked_appliance_small_device")
        return chosen("appliance.largest_device", device.value, device.cite, I=current, I_s=small)
    limit = computed("appliance.device_limit", "k * I", k.cite, k=k, I=current)
    return chosen("appliance.largest_device", next_rating(book, limit), k.cite, limit=limit)


def next_rating(book: Book, limit: Entry) -> Any:
    """Return the standard rating at or above `limit` [A].

    Raises
    ------
    LookupError
        When no standard rating is that large.
    """
    found = next((one for one in standard_ratings(book) if one >= limit.value), None)
    if found is None:
        raise LookupError(f"no standard rating reaches {limit.value}")
    return found


def device_within_limit(rating: Entry, largest: Entry) -> Check:
    """Judge the breaker against the largest that its kind of equipment allows.

    Returns
    -------
    Check
        ``device_within_limit``; the remedy is that largest one [A].
    """
    return compare("device_within_limit", rating, "<=", largest, largest.cite, remedy=largest)


def element_is_undivided(book: Book, current: Entry) -> Check:
    """Judge whether the elements of a heater may be on one circuit.

    Returns
    -------
    Check
        ``heater_fits_one_circuit``.

    Rule
    ----
    undivided_element_current
    """
    most = book.figure("undivided_element_current")
    return compare("heater_fits_one_circuit", current, "<=", most, most.cite)


def equipment_is_listed(book: Book, *, listed: bool | None) -> Check:
    """Judge whether the equipment carries a listing mark; ``equipment_is_listed``.

    Rule
    ----
    listed_as_instructed
    """
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[listed]
    return Check("equipment_is_listed", verdict, (book.cite("listed_as_instructed"),))


def four_wires(book: Book, outlet: Configuration) -> Check:
    """Judge whether a range, oven or dryer gets its neutral and its ground apart.

    Parameters
    ----------
    outlet : Configuration
        Of the receptacle.

    Returns
    -------
    Check
        ``appliance_has_four_wires``.

    Rule
    ----
    appliance_four_wires
    """
    holds = bool(outlet.neutral.value) and bool(outlet.for_new_work.value)
    verdict = Verdict.MEETS if holds else Verdict.FALLS_SHORT
    cite = (book.cite("appliance_four_wires"),)
    return Check("appliance_has_four_wires", verdict, cite, facts=(outlet.wires,))


def appliance_disconnect(
    book: Book, connection: str, load: Entry, *, in_sight: bool | None
) -> Check:
    """Judge how an appliance is taken off power where it is.

    A plug is a disconnect. A wired appliance above a small load has its breaker or a switch
    in sight, or a breaker that locks open.

    Parameters
    ----------
    connection : str
        ``receptacle`` or ``hardwired``.
    load : Entry
        Of the appliance [W].
    in_sight : bool or None
        Whether a disconnect, the breaker too, is within sight; None where nobody says.

    Returns
    -------
    Check
        ``appliance_has_disconnect``.

    Rule
    ----
    appliance_disconnect, small_appliance_disconnect, appliance_plug_is_disconnect
    """
    name, sight = "appliance_has_disconnect", book.figure("within_sight_distance")
    if connection == RECEPTACLE:
        return Check(
            name, Verdict.MEETS, (book.cite("appliance_plug_is_disconnect"),), facts=(sight,)
        )
    small = book.figure("small_appliance_disconnect")
    cite = (book.cite("appliance_disconnect"), *sight.cite)
    if in_sight or load.value <= small.value:
        return Check(name, Verdict.MEETS, cite, facts=(load, small, sight))
    verdict = Verdict.ASK if in_sight is None else Verdict.NOTE
    return Check(name, verdict, cite, facts=(load, small, sight))


# ------------------------------------------------------------------------------------ cooking


@dataclass(frozen=True)
class CookingUnit:
    """One cooking appliance of a circuit: `kind` is range, wall oven or cooktop."""

    kind: str
    rating: Entry
    tap: Entry | None = None


def cooking_circuit_load(book: Book, units: Sequence[CookingUnit]) -> Entry | None:
    """Return the load of one cooking circuit, ``cooking_circuit.load`` [VA].

    One range counts by the table of demands; one wall oven or one cooktop by its nameplate;
    a cooktop with up to two wall ovens as one range.

    Returns
    -------
    Entry or None
        None where no note of the table speaks of these units together.

    Rule
    ----
    one_cooking_unit, cooking_together, cooking_as_one_range
    """
    kinds = sorted(unit.kind for unit in units)
    if len(units) == 1 and kinds != ["range"]:
        cite = book.cite("one_cooking_unit")
        return computed("cooking_circuit.load", "P", cite, P=units[0].rating)
    one = book.cite("one_cooking_unit")
    ones = tuple(
        Appliance(unit.rating, computed(f"cooking_circuit.count.{number}", "1", one))
        for number, unit in enumerate(units, 1)
    )
    if len(units) > 1:
        most = decimal_of(book.figure("cooking_together"))
        ovens = kinds.count("wall oven")
        if kinds.count("cooktop") != 1 or ovens + 1 != len(units) or ovens > most:
            return None
        ones = (as_one_range(book, ones),)
    demand = _of_circuit(cooking_demand(book, ones))
    return computed("cooking_circuit.load", "D", demand.cite, D=demand)


def _of_circuit(entry: Entry) -> Entry:
    """Return the same entry under names of the circuit; the dwelling's own load keeps its."""
    inputs = tuple((symbol, _of_circuit(source)) for symbol, source in entry.inputs)
    own = entry.name.startswith("load.standard.")
    name = "cooking_circuit." + entry.name.removeprefix("load.standard.") if own else entry.name
    return replace(entry, name=name, inputs=inputs)


def least_cooking_rating(book: Book, current: Entry, together: Entry) -> Entry:
    """Return the least rating of a cooking circuit, ``minimum_overcurrent_rating`` [A].

    Parameters
    ----------
    current : Entry
        ``equipment_current`` [A].
    together : Entry
        Nameplates of the circuit [kW].

    Rule
    ----
    range_least_circuit, range_least_circuit_from
    """
    name, least = "minimum_overcurrent_rating", book.figure("range_least_circuit")
    start = book.figure("range_least_circuit_from")
    if together.value < start.value:
        return computed(name, "I", book.cite("appliance_circuit_rating"), I=current)
    cite = least.cite
    return computed(name, "larger(I, I_r)", cite, I=current, I_r=least)


def cooking_conductor_limit(book: Book, name: str, ampacity: Entry) -> Entry:
    """Return the largest device of a cooking circuit's conductors, as `name` [A].

    They carry the rating of the circuit: the next size up is not theirs.

    Rule
    ----
    range_conductor_rating
    """
    return computed(name, "I_z", book.cite("range_conductor_rating"), I_z=ampacity)


def tap_checks(
    book: Book, number: int, unit: CookingUnit, rating: Entry, voltage: Entry
) -> tuple[Check, ...]:
    """Judge the tap of one unit from a cooking circuit.

    Parameters
    ----------
    number : int
        Of the unit.
    unit : CookingUnit
        With its tap, a copper conductor.
    rating : Entry
        Of the circuit [A].
    voltage : Entry
        [V].

    Returns
    -------
    tuple of Check
        ``cooking.n.tap_carries_unit``, ``cooking.n.tap_is_large_enough`` and
        ``cooking.n.tap_circuit_is_small_enough``.

    Rule
    ----
    range_tap_least_ampacity, range_tap_top_circuit
    """
    if unit.tap is None:
        return ()
    at, table = f"cooking.{number}", book.table("conductor_ampacity")
    least, top = book.figure("range_tap_least_ampacity"), book.figure("range_tap_top_circuit")
    column = f"copper_{decimal_of(book.figure('unmarked_termination_temperature')):f}"
    row = table.row(size=unit.tap.value)
    ampacity = table.entry(f"{at}.tap_ampacity", column, row)
    current = computed(f"{at}.current", "P / V", least.cite, P=unit.rating, V=voltage)
    tap = (unit.tap,)
    return (
        compare(f"{at}.tap_carries_unit", ampacity, ">=", current, least.cite, facts=tap),
        compare(f"{at}.tap_is_large_enough", ampacity, ">=", least, least.cite, facts=tap),
        compare(f"{at}.tap_circuit_is_small_enough", rating, "<=", top, top.cite, remedy=top),
    )
