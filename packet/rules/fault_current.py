"""Fault current at the panel, and whether the equipment can interrupt it."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, compare, computed
from packet.rules.voltage_drop import Loop, RunPart, part_loop


def panel_fault_current(
    book: Book, available: Entry, voltage: Entry, feeder: RunPart, size: Entry, material: Entry
) -> Entry:
    """Largest fault current that the feeder lets through to a panel.

    The conductors are taken cold, and the source at the angle, between resistance and
    reactance alone, that lets the most through.

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
    loop = part_loop(book, feeder, size, material)
    return computed(
        "panel_fault_current",
        "V / smaller(sqrt(R ** 2 + (Z + X) ** 2), sqrt((Z + R) ** 2 + X ** 2))",
        cite,
        V=voltage,
        Z=computed("source_impedance", "V / I_f", cite, V=voltage, I_f=available),
        R=cold_loop_resistance(book, feeder, loop, material),
        X=loop.reactance,
    )


def cold_loop_resistance(book: Book, feeder: RunPart, loop: Loop, material: Entry) -> Entry:
    """Resistance out and back before a load has warmed the conductors [Ω].

    Rule
    ----
     copper_zero_resistance_temperature, aluminum_zero_resistance_temperature,
    table_resistance_temperature, cold_conductor_temperature
    """
    zero = book.figure(f"{material.value}_zero_resistance_temperature")
    return computed(
        f"{feeder.at}.cold_loop_resistance",
        "R * (T_0 + t_c) / (T_0 + t_r)",
        zero.cite,
        R=loop.resistance,
        T_0=zero,
        t_c=book.figure("cold_conductor_temperature"),
        t_r=book.figure("table_resistance_temperature"),
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
