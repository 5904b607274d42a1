"""The price of a job for a client: hours, labor, materials, tax, total and payments.

Sums of money are rounded to the smallest coin once, where they are formed, so that the
printed column adds up by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from packet.codebook import Book
from packet.ledger import Entry, chosen, computed, total
from packet.quantities import magnitude


def charged_hours(book: Book, hours: Entry) -> Entry:
    """Return the estimated hours as they are charged, rounded up to whole steps [h].

    Rule
    ----
    charged_hours_step
    """
    step = book.figure("charged_hours_step")
    return computed("offer.hours", "round_up(h / s) * s", step.cite, h=hours, s=step)


def labour(book: Book, hours: Entry, rate: Entry) -> Entry:
    """Return the price of the hours [$].

    Parameters
    ----------
    hours : Entry
        [h]
    rate : Entry
        Price of one hour. [$]
    """
    return computed(
        "offer.labour",
        "round_half_up(h / o * r / u) * u",
        book.cite("price_arithmetic"),
        h=hours,
        o=book.figure("one_hour"),
        r=rate,
        u=book.figure("smallest_coin"),
    )


def materials(book: Book, cost: Entry, markup: Entry | None) -> Entry:
    """Return the price of the materials before tax [$].

    Parameters
    ----------
    cost : Entry
        What the materials cost in the store, before tax. [$]
    markup : Entry, optional
        Share added for getting and warranting them. [%]
    """
    cite = book.cite("price_arithmetic")
    coin = book.figure("smallest_coin")
    if markup is None:
        return computed("offer.materials", "round_half_up(c / u) * u", cite, c=cost, u=coin)
    formula = "round_half_up(c * (1 + a) / u) * u"
    return computed("offer.materials", formula, cite, c=cost, a=markup, u=coin)


def sales_tax(book: Book, taxed: Sequence[Entry], rate: Entry) -> Entry:
    """Return the sales tax on everything that is taxed, zero where nothing is [$].

    Parameters
    ----------
    taxed : sequence of Entry
        Prices before tax. [$]
    rate : Entry
        [%]
    """
    cite = book.cite("price_arithmetic")
    base = total("offer.taxed", cite, "p", list(taxed))
    coin = book.figure("smallest_coin")
    formula = "round_half_up(b * t / u) * u"
    return computed("offer.tax", formula, cite, b=base, t=rate, u=coin)


def offer_total(book: Book, prices: Sequence[Entry]) -> Entry:
    """Return the sum of all lines of the price table [$]."""
    return total("offer.total", book.cite("price_arithmetic"), "p", list(prices))


def payments(book: Book, whole: Entry, shares: Sequence[Entry]) -> list[Entry]:
    """Return what falls due each time; the last payment is what is left [$].

    Parameters
    ----------
    whole : Entry
        [$]
    shares : sequence of Entry
        Shares of the whole, in the order they fall due; together all of it. [%]
    """
    cite = book.cite("price_arithmetic")
    coin = book.figure("smallest_coin")
    made: list[Entry] = []
    for number, share in enumerate(shares[:-1], 1):
        name = f"offer.payment.{number}.amount"
        formula = "round_half_up(p * s / u) * u"
        made.append(computed(name, formula, cite, p=whole, s=share, u=coin))
    earlier = {f"p{number}": payment for number, payment in enumerate(made, 1)}
    formula = " - ".join(("p", *earlier))
    return [
        *made,
        computed(f"offer.payment.{len(shares)}.amount", formula, cite, p=whole, **earlier),
    ]


def valid_until(book: Book, written: Entry, validity: Entry) -> Entry:
    """Return the last day on which the offer may be accepted (date).

    Parameters
    ----------
    written : Entry
        Day of the offer (date).
    validity : Entry
        [days]
    """
    day = written.value + timedelta(days=float(magnitude(validity.value, "d")))
    cite = book.cite("price_arithmetic")
    return chosen("offer.valid_until", day, cite, written=written, validity=validity)
