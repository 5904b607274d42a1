"""Sheet H: the one-line diagram, from the utility down to the outlet."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from typing import Literal

from packet import words
from packet.ledger import Ledger
from packet.plans.branch_circuit import Plan
from packet.sheets import views
from packet.sheets.route import ways
from packet.showing import show


def one_line(plan: Plan) -> views.OneLine:
    """Return sheet H; the new circuit is drawn new, everything ahead of it existing."""
    ledger = plan.ledger
    number = count(1)
    numbered = [
        replace(
            symbol,
            number=str(next(number)),
            sides=tuple(replace(side, number=str(next(number))) for side in symbol.sides),
        )
        for symbol in (*_ahead(ledger), *_circuit(plan))
    ]
    return views.OneLine(
        tuple(numbered),
        show(ledger["site.address"]),
        _text(ledger, "people.installer") or _text(ledger, "people.owner"),
        _text(ledger, "people.installer_phone") or _text(ledger, "people.owner_phone"),
    )


def _ahead(ledger: Ledger) -> list[views.Symbol]:
    panel = show(ledger["panel.name"])
    service = ledger["panel.kind"].value == "service"
    electrode = views.SideSymbol("electrode", "", _word("electrode"))
    bond = views.SideSymbol("bonding", "", _word("main_bonding_jumper"), inside=True)
    loads = views.SideSymbol("loads", "", _word("existing_circuits"), inside=True)
    symbols = [
        views.Symbol("utility", "", _text(ledger, "utility.name") or _word("utility")),
        views.Symbol("meter", "", _word("meter")),
        views.Symbol(
            "breaker",
            "",
            _word("service_disconnect"),
            show(ledger["service.rating"]),
            enclosure=panel if service else "",
            sides=(electrode, bond),
        ),
    ]
    if not service:
        symbols.append(
            views.Symbol(
                "breaker",
                "",
                _word("feeder_breaker"),
                _text(ledger, "panel.feeder_rating"),
            )
        )
    symbols.append(
        views.Symbol(
            "bus",
            "",
            f"{panel}",
            _text(ledger, "panel.bus_rating"),
            enclosure=panel,
            sides=(loads,),
        )
    )
    return symbols


def _circuit(plan: Plan) -> list[views.Symbol]:
    ledger = plan.ledger
    panel = show(ledger["panel.name"])
    kind = words.word(
        "one_line.gfci_breaker" if ledger["circuit.is_gfci"].value else "one_line.breaker"
    ).label
    hots = show(ledger["conductor_size"])
    ground = show(ledger["equipment_grounding"])
    neutral = ledger["fact.has_neutral"].value
    run = words.word(
        "one_line.run_with_neutral" if neutral else "one_line.run_without_neutral"
    ).label.format(size=hots, ground=ground, material=show(ledger["conductor_material"]))
    receptacle = ledger["fact.is_receptacle"].value
    end: Literal["receptacle", "fixed"] = "receptacle" if receptacle else "fixed"
    name = (
        _word("receptacle")
        if receptacle
        else _text(ledger, "circuit.equipment") or _word("charger")
    )
    rating = (
        f"{show(ledger['circuit.configuration'])}, {show(ledger['receptacle.rating'])}"
        if receptacle
        else show(ledger["charging_current"])
    )
    return [
        views.Symbol(
            "breaker",
            "",
            kind,
            f"{show(ledger['overcurrent_rating'])}, {show(ledger['nominal_voltage'])}",
            state="new",
            enclosure=panel,
        ),
        views.Symbol(
            end,
            "",
            name,
            rating,
            state="new",
            conductor=f"{run}; {ways(plan)}",
            run=run,
        ),
    ]


def _word(name: str) -> str:
    return words.word(f"one_line.{name}").label


def _text(ledger: Ledger, name: str) -> str:
    entry = ledger.get(name)
    return show(entry) if entry else ""
