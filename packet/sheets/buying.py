"""Sheet B: the shopping list, by kind of store, what must be ordered first at the head."""

from __future__ import annotations

from packet import facts, resources
from packet.findings import render_text
from packet.ledger import Ledger
from packet.plans.shopping import MaterialLine, Shopping, Sums
from packet.sheets import views
from packet.showing import show


def buy(shopping: Shopping, ledger: Ledger) -> views.Buy:
    """Return sheet B."""
    lines: dict[str, list[MaterialLine]] = {}
    for line in shopping.bill.lines:
        lines.setdefault(_shop(line), []).append(line)
    trips = [_trip(shop, group, ledger, shopping.trips.get(shop)) for shop, group in lines.items()]
    return views.Buy(
        tuple(sorted(trips, key=lambda trip: (trip.order_by == "", trip.order_by))),
        show(shopping.tax_rate) if shopping.tax_rate else "",
        show(shopping.total) if shopping.total else "",
        show(shopping.dated) if shopping.dated else "",
    )


def _shop(line: MaterialLine) -> str:
    return show(line.shop) if line.shop else str(resources.texts("materials")[line.kind]["trip"])


def _trip(shop: str, lines: list[MaterialLine], ledger: Ledger, sums: Sums | None) -> views.Trip:
    days = [ledger.get(f"material.{line.number}.order_by") for line in lines]
    dates = sorted(show(day) for day in days if day is not None)
    return views.Trip(
        shop,
        tuple(_item(line, ledger) for line in lines),
        show(sums.subtotal) if sums else "",
        show(sums.tax) if sums and sums.tax else "",
        show(sums.total) if sums else "",
        order_by=dates[0] if dates else "",
    )


def _item(line: MaterialLine, ledger: Ledger) -> views.BuyItem:
    texts = resources.texts("materials")[line.kind]
    context = {
        "facts": [show(fact) for fact in line.facts],
        "v": lambda name: show(ledger[name]),
        "fact": lambda name: facts.fact(f"fact.{name}", ledger),
    }
    pieces = " + ".join(f"{show(count)} × {show(length)}" for count, length in line.pieces)
    return views.BuyItem(
        name=render_text(texts["name"], context),
        marks=render_text(texts["marks"], context),
        swap=render_text(texts["swap"], context),
        quantity=pieces or show(line.bought),
        needed=show(line.needed) if line.needed.value != line.bought.value else "",
        each=show(line.price) if line.price else "",
        line=show(line.cost) if line.cost else "",
        lead=show(line.lead_time) if line.lead_time else "",
    )
