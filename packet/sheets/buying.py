"""Sheet B: the shopping list, by kind of store, what must be ordered first at the head."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packet import facts, resources, words
from packet.findings import render_text
from packet.ledger import Entry, Ledger
from packet.plans.shopping import MaterialLine, Shopping, Sums
from packet.quantities import NO_BREAK_SPACE
from packet.sheets import views
from packet.sheets.days import days
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
        days(ledger),
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


def _counted(entry: Entry) -> str:
    """Return a length, or a number of pieces or packs with its word."""
    if words.word(entry.name).unit:
        return show(entry)
    packs = entry.name.endswith(".packs_bought")
    number = show(entry)
    counted = f"{number}{NO_BREAK_SPACE}{words.unit_word('pack' if packs else 'piece', number)}"
    pack = next((show(one) for _, one in entry.inputs if one.name.endswith(".pack")), "")
    return words.word("buy.packs").label.format(packs=counted, pack=pack) if pack else counted


def _boxes(line: MaterialLine, ledger: Ledger) -> Iterator[tuple[str, str]]:
    """Yield the planned volume and the name of each box that a line is for."""
    for _, source in line.needed.inputs:
        fitting = re.fullmatch(r"fitting\.(\d+)\.boxes", source.name)
        volume = ledger.get(f"box.{fitting[1]}.marked_volume") if fitting else None
        if fitting and volume:
            yield show(volume), show(ledger[f"boxes.{fitting[1]}.name"])


def _item(line: MaterialLine, ledger: Ledger) -> views.BuyItem:
    texts = resources.texts("materials")[line.kind]
    context = {
        "facts": [show(fact) for fact in line.facts],
        "boxes": list(_boxes(line, ledger)),
        "v": lambda name: show(ledger[name]),
        "fact": lambda name: facts.fact(f"fact.{name}", ledger),
    }
    pieces = " + ".join(f"{show(count)} × {show(length)}" for count, length in line.pieces)
    return views.BuyItem(
        name=render_text(texts["name"], context),
        marks=render_text(texts["marks"], context),
        swap=render_text(texts["swap"], context),
        quantity=pieces or _counted(line.bought),
        needed=_counted(line.needed) if line.needed.value != line.bought.value else "",
        each=show(line.price) if line.price else "",
        line=show(line.cost) if line.cost else "",
        lead=show(line.lead_time) if line.lead_time else "",
    )
