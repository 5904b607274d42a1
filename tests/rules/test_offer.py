"""The price of a job: each line against plain decimals, written down by hand."""

from __future__ import annotations

from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest

from packet.codebook import Book
from packet.ledger import Entry, Kind, decimal_of
from packet.problems import Span
from packet.rules import offer
from tests.rules.givens import given

BOOK = Book("2023")
CENT = Decimal("0.01")


def dollars(name: str, amount: str) -> Entry:
    return given(name, amount, "USD")


@pytest.mark.parametrize(
    ("hours", "charged"), [("4", "4.0"), ("4.01", "4.5"), ("4.5", "4.5"), ("4.51", "5.0")]
)
def test_hours_are_charged_in_whole_steps(hours: str, charged: str) -> None:
    assert decimal_of(offer.charged_hours(BOOK, given("work_hours", hours, "h"))) == Decimal(
        charged
    )


def test_labor_is_hours_times_rate_to_the_cent() -> None:
    made = offer.labour(BOOK, given("offer.hours", "7.5", "h"), dollars("offer.rate", "83.33"))
    assert decimal_of(made) == Decimal("624.98")  # 624.975, half up
    made = offer.labour(BOOK, given("offer.hours", "1", "h"), dollars("offer.rate", "83.334"))
    assert decimal_of(made) == Decimal("83.33")


@pytest.mark.parametrize(("markup", "price"), [(None, "100.03"), ("0", "100.03"), ("15", "115.03")])
def test_materials_with_and_without_a_markup(markup: str | None, price: str) -> None:
    share = given("offer.markup", markup, "%") if markup else None
    made = offer.materials(BOOK, dollars("bill.subtotal", "100.029"), share)
    assert decimal_of(made) == Decimal(price)
    made = offer.materials(BOOK, dollars("bill.subtotal", "100.0049"), None)
    assert decimal_of(made) == 100


def test_tax_is_on_what_is_taxed_and_rounded_once() -> None:
    lines = [dollars("offer.materials", "10.03"), dollars("offer.item.1.price", "0.07")]
    made = offer.sales_tax(BOOK, lines, given("prices.sales_tax", "6.25", "%"))
    assert decimal_of(made) == Decimal("0.63")  # 0.63125; line by line it would be 0.63 + 0.00
    assert decimal_of(offer.sales_tax(BOOK, [], given("prices.sales_tax", "6.25", "%"))) == 0


@pytest.mark.parametrize("whole", ["100.00", "100.01", "0.02", "3408.40", "999.99"])
@pytest.mark.parametrize(
    "shares", [["100"], ["50", "50"], ["33", "33", "34"], ["1", "12.5", "86.5"]]
)
def test_payments_come_to_the_whole_to_the_cent(whole: str, shares: list[str]) -> None:
    entries = [
        given(f"offer.payment.{number}.share", share, "%") for number, share in enumerate(shares, 1)
    ]
    made = [decimal_of(one) for one in offer.payments(BOOK, dollars("offer.total", whole), entries)]
    assert sum(made) == Decimal(whole)
    for share, amount in zip(shares[:-1], made, strict=False):
        fair = (Decimal(whole) * Decimal(share) / 100).quantize(CENT, ROUND_HALF_UP)
        assert amount == fair


def test_payments_are_numbered_from_one_and_the_last_is_what_is_left() -> None:
    shares = [given(f"offer.payment.{number}.share", "25", "%") for number in range(1, 4)]
    made = offer.payments(BOOK, dollars("offer.total", "100"), shares)
    assert [one.name for one in made] == [f"offer.payment.{n}.amount" for n in range(1, 4)]
    assert made[-1].formula == "p - p1 - p2"


def test_an_offer_stands_for_whole_days() -> None:
    span = Span("job.yaml", 1, 1, 1)
    written = Entry("work.written", date(2026, 2, 20), Kind.GIVEN, span=span)
    made = offer.valid_until(BOOK, written, given("offer.validity", "21", "d"))
    assert made.value == date(2026, 3, 13)
