"""Sheet S: the scope of work that a client signs, or a request for quotes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from packet import resources
from packet.findings import finding
from packet.ledger import Entry, Verdict
from packet.plans.branch_circuit import Plan
from packet.plans.offer import Offer
from packet.sheets import views
from packet.sheets.calculations import asked
from packet.sheets.filled import Filled
from packet.sheets.route import named_ways
from packet.showing import show


def scope(plan: Plan) -> views.Scope:
    """Return sheet S: an offer where an electrician does the work, else a request."""
    texts = resources.texts("scope")
    ledger, offer = plan.ledger, plan.offer
    filled = Filled(ledger, _extra(plan), frozenset(_kinds(offer)))

    def told(name: str) -> str:
        return _shown(ledger.get(name))

    permit_by = offer.permit_by.value if offer and offer.permit_by else ""
    dead = "house" if ledger["fact.source_is_service_panel"].value else "panel"
    return views.Scope(
        kind="offer" if offer else "request",
        intro=texts["intro"]["offer" if offer else "request"],
        contractor=_contractor(plan),
        client=views.Party(told("people.owner"), told("site.address"), told("people.owner_phone")),
        address=told("site.address"),
        valid_until=_shown(offer.valid_until if offer else None),
        starts=told("work.planned_start") if offer else "",
        ends=told("final_ready") if offer else "",
        inspected=told("final_inspection") if offer else "",
        work=tuple(
            views.WorkItem(filled.text(item["text"]), filled.text(item["result"]))
            for item in filled.chosen(texts["work"])
        ),
        included=(*_lines(filled, texts["included"]), *_items(offer)),
        not_included=(
            *_lines(filled, texts["not_included"]),
            *(show(one) for one in (offer.exclusions if offer else ())),
        ),
        assumptions=tuple(_assumptions(filled, texts["assumptions"])),
        open=tuple(_open(plan, texts["owner_questions"])),
        permit_by=texts["permit_by"].get(permit_by, ""),
        power_off=filled.text(texts["power_off"][dead]),
        materials=filled.text(texts["materials"]),
        prices=tuple(_prices(plan, filled, texts["prices"])),
        total=_shown(offer.total if offer else None),
        payments=tuple(
            views.Payment(show(one.when), show(one.share), _shown(one.amount))
            for one in (offer.payments if offer else ())
        ),
        warranty=_shown(offer.warranty if offer else None),
    )


def _shown(entry: Entry | None) -> str:
    return show(entry) if entry else ""


def _extra(plan: Plan) -> dict[str, Any]:
    return {
        "ways": named_ways(plan),
        "current": plan.current.name,
        "load_current": plan.load.worksheet.deciding.name,
    }


def _kinds(offer: Offer | None) -> Iterator[str]:
    yield "offer" if offer else "request"
    if offer and offer.permit_by:
        yield f"{offer.permit_by.value}_permit"


def _contractor(plan: Plan) -> views.Party:
    """Return who offers; nobody yet where the owner does the work."""
    if plan.offer is None:
        return views.Party("")
    names = ("people.installer_company", "people.installer")
    name = ", ".join(show(plan.ledger[one]) for one in names if one in plan.ledger)
    address, phone, licence = (
        _shown(plan.ledger.get(f"people.installer_{one}"))
        for one in ("address", "phone", "licence")
    )
    return views.Party(name, address, phone, licence)


def _lines(filled: Filled, items: list[dict[str, Any]]) -> Iterator[str]:
    for item in filled.chosen(items):
        yield filled.text(item["text"])


def _items(offer: Offer | None) -> Iterator[str]:
    for item in offer.items if offer else ():
        yield show(item.what)


def _assumptions(filled: Filled, items: list[dict[str, Any]]) -> Iterator[views.Assumption]:
    for item in filled.chosen(items):
        yield views.Assumption(filled.text(item["text"]), filled.text(item["otherwise"]))


def _open(plan: Plan, of_the_owner: list[str]) -> Iterator[views.OpenQuestion]:
    """Yield every open question that a price depends on."""
    for check in asked(plan.ledger, views.Scope.letter):
        if check.verdict is Verdict.ASK and check.name not in of_the_owner:
            said = finding(check, plan.ledger)
            yield views.OpenQuestion(said.says, said.who)


def _prices(
    plan: Plan, filled: Filled, texts: dict[str, dict[str, str]]
) -> Iterator[views.PriceLine]:
    """Yield the lines of the price table; an amount that nobody gave is a blank."""
    offer = plan.offer

    def line(name: str, amount: Entry | None) -> views.PriceLine:
        words = texts[name]
        return views.PriceLine(words["item"], filled.text(words["how"]), _shown(amount))

    yield line("materials", offer.materials if offer else None)
    for item in offer.items if offer else ():
        yield views.PriceLine(show(item.what), "", show(item.price))
    yield line("labour", offer.labour if offer else None)
    yield line("tax", offer.tax if offer else None)
    if offer is None or offer.permit_by is None or offer.permit_by.value == "installer":
        yield line("permit_fee", offer.permit_fee if offer else None)
