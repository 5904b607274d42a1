"""Equipment whose nameplate sizes its circuit: welders, and units with a sealed compressor.

Sources: NEC 630.11 and 630.12; NEC 440.22 and 440.33.
"""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Entry, chosen, computed
from packet.rules.overcurrent import standard_ratings


def welder_minimum_ampacity(book: Book, primary: Entry, duty: Entry, kind: str) -> Entry:
    """Return what the supply conductors of one welder carry at least [A].

    Parameters
    ----------
    primary : Entry
        Rated primary current. [A]
    duty : Entry
        Duty cycle of the nameplate; between two rows of the table the higher one counts. [%]
    kind : str
        ``nonmotor_generator`` or ``motor_generator``.

    Raises
    ------
    ValueError
        For a duty cycle above 100 %.

    Rule
    ----
    welder_duty
    """
    table = book.table("welder_duty")
    for row in table.rows():
        if row["up_to"] >= duty.value:
            factor = table.entry("welder.duty_factor", kind, row)
            return computed("welder.minimum_ampacity", "m * I_1", table.cite, m=factor, I_1=primary)
    raise ValueError("a duty cycle is at most 100 %")


def welder_device_limit(book: Book, primary: Entry) -> Entry:
    """Return the largest overcurrent device of a welder, before the next standard rating [A].

    Rule
    ----
    welder_overcurrent_factor
    """
    k = book.figure("welder_overcurrent_factor")
    return computed("welder.device_limit", "k * I_1", k.cite, k=k, I_1=primary)


def welder_conductor_device_limit(book: Book, ampacity: Entry) -> Entry:
    """Return the largest overcurrent device of a welder's conductors [A].

    Rule
    ----
    welder_overcurrent_factor
    """
    k = book.figure("welder_overcurrent_factor")
    return computed("welder.conductor_device_limit", "k * I_z", k.cite, k=k, I_z=ampacity)


def unit_minimum_ampacity(book: Book, compressor: Entry, others: Entry) -> Entry:
    """Return the minimum circuit ampacity of a unit: largest compressor and other loads [A].

    Rule
    ----
    compressor_conductor_factor
    """
    k = book.figure("compressor_conductor_factor")
    return computed(
        "unit.minimum_ampacity", "k * I_r + I_f", k.cite, k=k, I_r=compressor, I_f=others
    )


def unit_maximum_device(book: Book, compressor: Entry, others: Entry) -> Entry:
    """Return the largest standard overcurrent device that a unit allows [A].

    Raises
    ------
    ValueError
        Where even the smallest standard rating is too large.

    Rule
    ----
    compressor_device_factor, standard_ratings
    """
    k = book.figure("compressor_device_factor")
    limit = computed("unit.device_limit", "k * I_r + I_f", k.cite, k=k, I_r=compressor, I_f=others)
    allowed = [rating for rating in standard_ratings(book) if rating <= limit.value]
    if not allowed:
        raise ValueError("no standard rating is so small")
    return chosen(
        "unit.maximum_device", max(allowed), book.table("standard_ratings").cite, limit=limit
    )
