"""Fault current at the panel, and whether the equipment can interrupt it."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, compare, computed
from packet.rules.voltage_drop import RunPart, direct_current_resistance


def panel_fault_current(
    book: Book, available: Entry, voltage: Entry, feeder: RunPart, size: Entry, material: Entry
) -> Entry:
    """Largest fault current that the feeder lets through to a panel.

    The conductors are taken cold and away from iron, and the source at the angle, between
    resistance and reactance alone, that lets the most through.

    Parameters
    ----------
    available : Entry
        Between the hot conductors at the start of the feeder. [A]
    voltage : Entry
        Between the hot conductors. [V]
    feeder : RunPart
    size, material : Entry
        Of its hot conductors.

    Returns
    -------
    panel_fault_current : Entry
        [A]

    Rule
    ----
    impedance_sum, conductor_resistance, conductor_impedance
    """
    cite = book.cite("impedance_sum")
    return computed(
        "panel_fault_current",
        "V / smaller(sqrt(R ** 2 + (Z + X) ** 2), sqrt((Z + R) ** 2 + X ** 2))",
        cite,
        V=voltage,
        Z=computed("source_impedance", "V / I_f", cite, V=voltage, I_f=available),
        R=least_loop_resistance(book, feeder, size, material),
        X=least_loop_reactance(book, feeder, size),
    )


def least_loop_resistance(book: Book, feeder: RunPart, size: Entry, material: Entry) -> Entry:
    """Resistance of a feeder out and back, before a load has warmed it [Ω].

    Rule
    ----
    copper_zero_resistance_temperature, aluminum_zero_resistance_temperature,
    table_resistance_temperature, cold_conductor_temperature, conductor_resistance
    """
    zero = book.figure(f"{material.value}_zero_resistance_temperature")
    name = f"{feeder.at}.least_resistance"
    return computed(
        f"{feeder.at}.least_loop_resistance",
        "2 * L * r / k * (T_0 + t_c) / (T_0 + t_r)",
        zero.cite,
        L=feeder.length,
        r=direct_current_resistance(book, name, feeder.method, size, material),
        k=book.figure("feet_per_kilofoot"),
        T_0=zero,
        t_c=book.figure("cold_conductor_temperature"),
        t_r=book.figure("table_resistance_temperature"),
    )


def least_loop_reactance(book: Book, feeder: RunPart, size: Entry) -> Entry:
    """Reactance of a feeder out and back, as if there were no iron around it [Ω].

    Rule
    ----
    conductor_impedance
    """
    table = book.table("conductor_impedance")
    row = table.row(size=size.value)
    return computed(
        f"{feeder.at}.least_loop_reactance",
        "2 * L * x / k",
        book.cite("impedance_sum"),
        L=feeder.length,
        x=table.entry(f"{feeder.at}.least_reactance", "reactance_nonmagnetic", row),
        k=book.figure("feet_per_kilofoot"),
    )


def interrupting_rating_covers_fault(
    book: Book, rating: Entry | None, fault: Entry | None
) -> Check:
    """Check that panel and breakers can interrupt the fault current.

    Parameters
    ----------
    rating, fault : Entry, optional
        Interrupting rating from the label, and fault current at the panel. [A]

    Rule
    ----
    equipment_interrupts_fault
    """
    cite = book.cite("equipment_interrupts_fault")
    name = "interrupting_rating_covers_fault"
    if rating is None or fault is None:
        return Check(name, Verdict.ASK, (cite,), left=rating, right=fault)
    return compare(name, rating, ">=", fault, cite)


def unread_breaker_interrupts_fault(book: Book, fault: Entry) -> Check:
    """Check a breaker whose interrupting rating nobody has read, as if it were unmarked.

    Parameters
    ----------
    fault : Entry
        Fault current at the panel. [A]

    Rule
    ----
    unmarked_interrupting_rating
    """
    least = book.figure("unmarked_interrupting_rating")
    name = "unread_breaker_interrupts_fault"
    return compare(name, least, ">=", fault, least.cite, otherwise=Verdict.ASK)
