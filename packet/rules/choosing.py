"""What one choice among several costs and gives: money, reach of the cord, time to charge."""

from __future__ import annotations

from collections.abc import Sequence

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed


def energy_of_a_day(
    book: Book,
    distance: Entry,
    consumption: Entry,
    *,
    at_wall: bool,
    efficiency: Entry | None = None,
) -> Entry:
    """Return the energy from the wall that a day's driving takes [kWh].

    Parameters
    ----------
    distance : Entry
        [mi]
    consumption : Entry
        [kWh/mi]
    at_wall : bool
        Whether the consumption is counted at the wall, with the losses of charging in it,
        as the window sticker has it; else it is what leaves the battery.
    efficiency : Entry, optional
        Share of the energy from the wall that reaches the battery; left out, the published
        loss counts. [%]

    Rule
    ----
    charging_loss
    """
    loss = book.figure("charging_loss")
    if at_wall:
        return computed("option.energy", "s * c", loss.cite, s=distance, c=consumption)
    if efficiency is not None:
        return computed(
            "option.energy", "s * c / e", loss.cite, s=distance, c=consumption, e=efficiency
        )
    return computed(
        "option.energy", "s * c / (1 - l)", loss.cite, s=distance, c=consumption, l=loss
    )


def current_into_vehicle(book: Book, charger: Entry, *limits: Entry) -> Entry:
    """Return the current that flows while the vehicle charges [A].

    Parameters
    ----------
    charger : Entry
        Current that the circuit is reckoned for. [A]
    *limits : Entry
        What else holds it down: the vehicle, an energy management system at its limit. [A]
    """
    inputs = {"I": charger} | {f"l{number}": limit for number, limit in enumerate(limits, 1)}
    formula = f"smaller({', '.join(inputs)})" if limits else "I"
    return computed("option.current", formula, book.cite("charging_power_arithmetic"), **inputs)


def charging_power(book: Book, current: Entry) -> Entry:
    """Return the power from the wall while the vehicle charges [kW]."""
    return computed(
        "option.charging_power",
        "I * V",
        book.cite("charging_power_arithmetic"),
        I=current,
        V=book.figure("nominal_voltage"),
    )


def charging_hours(book: Book, energy: Entry, power: Entry) -> Entry:
    """Return the hours that restore a day's driving [h].

    Parameters
    ----------
    energy : Entry
        From the wall. [kWh]
    power : Entry
        From the wall, taken as steady. [kW]
    """
    cite = book.cite("charging_power_arithmetic")
    return computed("option.charging_hours", "E / P", cite, E=energy, P=power)


def part_length_at(
    book: Book, length: Entry, place: Entry, now: Entry, wire_comes_at: Entry
) -> Entry:
    """Return the length of the part of the route that runs along the wall, for one place [ft].

    Parameters
    ----------
    length : Entry
        Of the part where it leads to the present place. [ft]
    place, now, wire_comes_at : Entry
        Along the wall: the place tried, the present one, where the wire comes to the wall. [ft]
    """
    return computed(
        "option.part_length",
        "L + (larger(x, w) - smaller(x, w)) - (larger(n, w) - smaller(n, w))",
        book.cite("comparison_arithmetic"),
        L=length,
        x=place,
        n=now,
        w=wire_comes_at,
    )


def cord_needed(
    book: Book, place: Entry, height: Entry, along: Entry, out: Entry, inlet_height: Entry
) -> Entry:
    """Return the cord that reaches the inlet lying on the floor, without pull [ft].

    Down from the charger to the floor, along the wall, out to the inlet, and up to it.

    Parameters
    ----------
    place, along : Entry
        Of the outlet and of the inlet, along the wall. [ft]
    height, inlet_height : Entry
        Of both above the floor. [ft]
    out : Entry
        From the wall to the inlet, as the cord lies. [ft]

    Rule
    ----
    cord_lies_on_floor
    """
    return computed(
        "option.cord_needed",
        "h + (larger(x, a) - smaller(x, a)) + o + u",
        book.cite("cord_lies_on_floor"),
        h=height,
        x=place,
        a=along,
        o=out,
        u=inlet_height,
    )


def cord_reaches(book: Book, needed: Entry, cords: Sequence[Entry]) -> tuple[Entry | None, Check]:
    """Return the shortest of `cords` that reaches, if one does, and the judgment.

    Parameters
    ----------
    needed : Entry
        From :func:`cord_needed`. [ft]
    cords : sequence of Entry
        Lengths that can be bought, at least one. [ft]
    """
    cite = book.cite("cord_lies_on_floor")
    longest = max(cords, key=lambda cord: cord.value)
    check = compare("cord_reaches_inlet", needed, "<=", longest, cite)
    if check.verdict is not Verdict.MEETS:
        return None, check
    shortest = min(
        (cord for cord in cords if cord.value >= needed.value), key=lambda cord: cord.value
    )
    return chosen("option.cord", shortest.value, cite, needed=needed, cord=shortest), check


def cost(book: Book, materials: Entry, *others: Entry) -> Entry:
    """Return what an option costs, rounded to the smallest coin [$].

    Parameters
    ----------
    materials : Entry
        With tax. [$]
    *others : Entry
        An electrician's labor, an energy management system. [$]
    """
    inputs = {"m": materials} | {f"w{number}": other for number, other in enumerate(others, 1)}
    formula = f"round_half_up(({' + '.join(inputs)}) / u) * u"
    cite = book.cite("price_arithmetic")
    return computed("option.cost", formula, cite, **inputs, u=book.figure("smallest_coin"))


def spare_capacity(book: Book, left: Sequence[Entry]) -> Entry:
    """Return what is left of the service, or of the feeder where that is less [A].

    Parameters
    ----------
    left : sequence of Entry
        What each supply on the way has left with the new load on it. [A]
    """
    inputs = {f"r{number}": one for number, one in enumerate(left, 1)}
    formula = f"smaller({', '.join(inputs)})" if len(left) > 1 else "r1"
    return computed("option.spare", formula, book.cite("supply_carries_load"), **inputs)
