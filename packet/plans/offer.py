"""What an electrician offers to the owner: every line of the price table, terms, payments."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packet.codebook import Book
from packet.jobfile.model import Job
from packet.jobfile.model import Offer as Terms
from packet.ledger import Check, Entry, Ledger, Verdict
from packet.plans.givens import given, must
from packet.plans.shopping import Shopping
from packet.rules import offer as pricing

ELECTRICIAN = "licensed electrician"


@dataclass(frozen=True)
class Item:
    """Something sold beside the planned materials and the hours."""

    what: Entry
    price: Entry
    is_material: bool


@dataclass(frozen=True)
class Payment:
    """A share of the price; `amount` is None while the offer has no total."""

    when: Entry
    share: Entry
    amount: Entry | None


@dataclass(frozen=True)
class Offer:
    """The lines of the price table and the terms; None stands for what nobody gave.

    `permit_fee` is None too where the owner pays it himself.
    """

    materials: Entry | None
    hours: Entry
    rate: Entry | None
    labour: Entry | None
    items: tuple[Item, ...]
    tax: Entry | None
    tax_rate: Entry | None
    tax_on: Entry | None
    permit_by: Entry | None
    permit_fee: Entry | None
    total: Entry | None
    payments: tuple[Payment, ...]
    valid_until: Entry | None
    warranty: Entry | None
    exclusions: tuple[Entry, ...]


def offer(book: Book, ledger: Ledger, job: Job, bought: Shopping) -> Offer | None:
    """Enter the offer into the ledger; None where the owner does the work himself.

    The total stands only where every line of the table does: a sum with a hole in it
    would be signed as the price.
    """
    if job.people.work_by.value != ELECTRICIAN:
        return None
    terms = job.offer
    hours = given("offer.hours", job.labour and job.labour.hours) or pricing.charged_hours(
        book, ledger.get("own_hours") or bought.hours
    )
    rate = given("offer.rate", job.labour and job.labour.hourly_rate)
    labour = pricing.labour(book, hours, rate) if rate else None
    materials = None
    if bought.bill.complete:
        markup = given("offer.markup", terms and terms.markup)
        materials = pricing.materials(book, bought.bill.subtotal, markup)
    items = tuple(_items(terms))
    tax_on = given("offer.tax_on", terms and terms.tax_on)
    tax = _tax(book, materials, labour, items, tax_on, bought.tax_rate)
    permit_by = given("offer.permit_by", terms and terms.permit_by)
    fee = _fee(ledger, permit_by)
    prices = [materials, labour, *(item.price for item in items), tax]
    if permit_by is None or permit_by.value == "installer":
        prices.append(fee if permit_by else None)
    known = [price for price in prices if price is not None]
    whole = pricing.offer_total(book, known) if len(known) == len(prices) else None
    validity = given("offer.validity", terms and terms.valid_for)
    made = Offer(
        materials,
        hours,
        rate,
        labour,
        items,
        tax,
        bought.tax_rate,
        tax_on,
        permit_by,
        fee,
        whole,
        tuple(_payments(book, terms, whole)),
        pricing.valid_until(book, ledger["work.written"], validity) if validity else None,
        given("offer.warranty", terms and terms.warranty),
        tuple(
            must(f"offer.exclusion.{number}", line.what)
            for number, line in enumerate((terms and terms.exclusions) or (), 1)
        ),
    )
    for entry in (*_entries(made), *([bought.dated] if bought.dated else ())):
        ledger.add(entry)
    if whole is None:
        ledger.judge(Check("offer_has_a_total", Verdict.NOTE, (book.cite("price_arithmetic"),)))
    return made


def _items(terms: Terms | None) -> Iterator[Item]:
    for number, line in enumerate((terms and terms.items) or (), 1):
        at = f"offer.item.{number}"
        what, price = must(f"{at}.what", line.what), must(f"{at}.price", line.price)
        yield Item(what, price, line.kind.value == "material")


def _tax(
    book: Book,
    materials: Entry | None,
    labour: Entry | None,
    items: Sequence[Item],
    tax_on: Entry | None,
    rate: Entry | None,
) -> Entry | None:
    """Return the tax; None while what it is charged on, or its rate, is not known."""
    if tax_on is None or rate is None:
        return None
    goods = [materials, *(item.price for item in items if item.is_material)]
    work = [labour, *(item.price for item in items if not item.is_material)]
    taxed = {"materials": goods, "materials and labor": goods + work, "nothing": []}
    lines = taxed[str(tax_on.value)]
    known = [line for line in lines if line is not None]
    return pricing.sales_tax(book, known, rate) if len(known) == len(lines) else None


def _fee(ledger: Ledger, permit_by: Entry | None) -> Entry | None:
    if permit_by is None or permit_by.value != "installer":
        return None
    return ledger.get("authority.permit_fee")


def _payments(book: Book, terms: Terms | None, whole: Entry | None) -> Iterator[Payment]:
    lines = (terms and terms.payments) or ()
    if not lines:
        return
    shares = [
        must(f"offer.payment.{number}.share", line.share) for number, line in enumerate(lines, 1)
    ]
    amounts = pricing.payments(book, whole, shares) if whole else [None] * len(shares)
    for number, (line, share, amount) in enumerate(zip(lines, shares, amounts, strict=True), 1):
        yield Payment(must(f"offer.payment.{number}.when", line.when), share, amount)


def _entries(made: Offer) -> Iterator[Entry]:
    parts: list[Entry | None] = [made.materials, made.hours, made.rate, made.labour]
    parts += [entry for item in made.items for entry in (item.what, item.price)]
    parts += [made.tax_on, made.tax, made.permit_by, made.permit_fee, made.total]
    parts += [entry for one in made.payments for entry in (one.when, one.share, one.amount)]
    parts += [made.valid_until, made.warranty, *made.exclusions]
    yield from (entry for entry in parts if entry is not None)
