"""Fault current at a panel, and whether the equipment can interrupt it."""

from __future__ import annotations

import cmath
from decimal import Decimal
from itertools import product
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry, decimal_of
from packet.rules.fault_current import (
    interrupting_rating_covers_fault,
    least_loop_reactance,
    least_loop_resistance,
    panel_fault_current,
    unread_breaker_interrupts_fault,
)
from packet.rules.voltage_drop import RunPart
from tests.rules.givens import ALUMINUM, COPPER, METALS, given, not_redoable, shown, size, worded
from tests.rules.installation import examples, ids


def feeder(method: str, feet: object) -> RunPart:
    return RunPart("feeder", given("route.1.method", method), given("feeder.length", feet, "ft"))


def fault(
    book: Book,
    available: object,
    method: str,
    feet: object,
    conductor: str,
    material: Entry = COPPER,
    volts: object = 240,
) -> Entry:
    return panel_fault_current(
        book,
        given("available_fault_current", available, "A"),
        given("nominal_voltage", volts, "V"),
        feeder(method, feet),
        size("conductor_size", conductor),
        material,
    )


def handbook(available: float, feet: float, constant: float, volts: float) -> float:
    """Return the point-to-point method's fault current between two hot conductors."""
    factor = 2 * feet * available / (constant * volts)
    return available / (1 + factor)


@pytest.mark.parametrize(
    ("method", "conductor", "constant"),
    [
        ("EMT", "6", 2425),
        ("EMT", "4", 3806),
        ("EMT", "2", 5907),
        ("EMT", "1/0", 8925),
        ("EMT", "4/0", 15082),
        ("PVC-40", "6", 2430),
        ("PVC-40", "3/0", 13923),
    ],
)
def test_it_is_never_below_the_handbooks_point_to_point_method(
    method: str, conductor: str, constant: float
) -> None:
    """Point-to-point method of fault current, electrical plan-review handbook.

    The constants are from memory, copper conductors of 600 V in steel and in nonmagnetic
    raceway. The handbook adds magnitudes; ours takes the angle that lets the most through,
    so it is the larger, by at most the root of two and what the constants differ.
    """
    book = Book("2023")
    for available, feet in product((5000, 10000, 22000, 65000), (1, 10, 40, 150)):
        ours = float(decimal_of(fault(book, available, method, feet, conductor)))
        theirs = handbook(available, feet, constant, 240)
        assert theirs * 0.99 <= ours <= theirs * 1.45, (available, feet)


def test_the_handbooks_second_fault() -> None:
    """20 ft of 2 AWG copper in steel after 39,425 A at 120/208 V: 18,688 A between three phases.

    Electrical plan-review handbook, point-to-point method, fault 2 (result from memory). A
    phase to the star point, 10 ft out and 10 ft back, is the same circuit.
    """
    volts = Decimal(208) / Decimal(3).sqrt()
    ours = float(decimal_of(fault(Book("2023"), 39425, "EMT", 10, "2", volts=volts)))
    assert 18688 <= ours <= 18688 * 1.45


@pytest.mark.parametrize(
    ("conductor", "material", "warm", "rise", "reactance"),
    [
        ("6", COPPER, "0.491", "0.00323", "0.051"),
        ("500", COPPER, "0.0258", "0.00323", "0.039"),
        ("6", ALUMINUM, "0.808", "0.00330", "0.051"),
    ],
)
def test_the_feeder_is_cold_and_the_source_at_the_worst_angle(
    conductor: str, material: Entry, warm: str, rise: str, reactance: str
) -> None:
    """Chapter 9 of the NEC: Table 8, stranded, its note 2 for other temperatures, and Table 9.

    From memory. The worst angle of the source is searched degree by degree. With 6 AWG the
    resistance is the larger part, with 500 kcmil the reactance.
    """
    book = Book("2023")
    run, used = feeder("PVC-40", 100), size("conductor_size", conductor)
    cold = float(decimal_of(book.figure("cold_conductor_temperature")))
    expected = 0.2 * float(warm) * (1 + float(rise) * (cold - 75))
    ohms = float(decimal_of(least_loop_resistance(book, run, used, material)))
    assert ohms == pytest.approx(expected, rel=0.005)
    loop = float(decimal_of(least_loop_reactance(book, run, used)))
    assert loop == pytest.approx(0.2 * float(reactance))
    for available in (2000, 10000, 42000):
        source = 240 / available
        least = min(
            abs(cmath.rect(source, cmath.pi * angle / 180) + complex(ohms, loop))
            for angle in range(91)
        )
        ours = float(decimal_of(fault(book, available, "PVC-40", 100, conductor, material)))
        assert ours == pytest.approx(240 / least)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", examples("fault_current"), ids=ids)
def test_published_fault_currents(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    inputs = case["inputs"]
    ours = fault(
        Book(edition),
        inputs["available"],
        inputs["method"],
        inputs["feet"],
        str(inputs["size"]),
        volts=inputs["volts"],
    )
    printed = case["printed"]["current"]
    assert printed * (1 - case["below"]) <= float(decimal_of(ours)) <= printed * 1.45


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_source_alone_gives_the_available_current(edition: str) -> None:
    at_the_source = fault(Book(edition), 10000, "EMT", 0, "6")
    assert abs(decimal_of(at_the_source) - 10000) < Decimal("1e-18")


@pytest.mark.parametrize("material", METALS, ids=lambda metal: metal.value)
@pytest.mark.parametrize("method", ["EMT", "PVC-40", "SER"])
def test_longer_never_lets_more_through_and_larger_never_less(method: str, material: Entry) -> None:
    book = Book("2023")
    sizes = ("10", "8", "6", "4", "2", "1/0", "4/0")
    lengths = (1, 5, 20, 60, 200)
    for available in (2000, 10000, 42000):
        found = {
            (row, column): decimal_of(fault(book, available, method, feet, conductor, material))
            for row, conductor in enumerate(sizes)
            for column, feet in enumerate(lengths)
        }
        for (row, column), current in found.items():
            assert 0 < current <= available
            assert current > found.get((row, column + 1), 0)
            assert current < found.get((row + 1, column), current + 1)


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_printed_formulas_give_the_printed_values(edition: str) -> None:
    book = Book(edition)
    for method, material, feet in product(("EMT", "SER"), METALS, (8, "44.5", "39.37007874", 150)):
        for conductor in ("6", "2", "4/0"):
            found = fault(book, 9800, method, feet, conductor, material)
            assert not_redoable([found]) == []


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "available", "verdict"),
    [
        (10000, 9999, "meets"),
        (10000, 10000, "meets"),
        (10000, 10001, "falls short"),
        (None, 10000, "ask"),
        (10000, None, "ask"),
        (None, None, "ask"),
    ],
)
def test_equipment_must_interrupt_what_is_available(
    edition: str, rating: int | None, available: int | None, verdict: str
) -> None:
    """110.9."""
    marked = None if rating is None else given("interrupting_rating", rating, "A")
    current = None if available is None else given("available_fault_current", available, "A")
    check = interrupting_rating_covers_fault(Book(edition), marked, current)
    assert worded(check) == verdict
    left = "interrupting_rating" if marked else ""
    assert shown(check) == (left, "available_fault_current" if current else "", "", [])


def test_a_rating_in_kiloamperes_is_the_same_rating() -> None:
    check = interrupting_rating_covers_fault(
        Book("2023"),
        given("interrupting_rating", 10, "kA"),
        given("available_fault_current", 10000, "A"),
    )
    assert worded(check) == "meets"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("available", "verdict"), [(5000, "meets"), (5001, "ask")])
def test_a_breaker_that_nobody_has_read(available: int, verdict: str, edition: str) -> None:
    """240.83(C): an unmarked breaker has 5 kA."""
    current = given("available_fault_current", available, "A")
    assert worded(unread_breaker_interrupts_fault(Book(edition), current)) == verdict
