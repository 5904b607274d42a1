"""Sheet H: the one-line diagram, from the utility down to the outlet."""

from __future__ import annotations

from packet import words
from packet.ledger import Ledger
from packet.plans.branch_circuit import Plan
from packet.sheets import views
from packet.showing import show


def one_line(plan: Plan) -> views.OneLine:
    """Return sheet H; the new circuit is drawn new, everything ahead of it existing."""
    ledger = plan.ledger
    symbols = [*_ahead(ledger), *_circuit(plan)]
    numbered = []
    number = 0
    for symbol in symbols:
        number += 1
        sides = []
        own = number
        for side in symbol["sides"]:
            number += 1
            sides.append(views.SideSymbol(number=str(number), **side))
        numbered.append(
            views.Symbol(number=str(own), **{**symbol, "sides": tuple(sides)})
        )
    return views.OneLine(
        tuple(numbered),
        show(ledger["site.address"]),
        _text(ledger, "people.installer") or _text(ledger, "people.owner"),
        _text(ledger, "people.installer_phone") or _text(ledger, "people.owner_phone"),
    )


def _ahead(ledger: Ledger) -> list[dict[str, object]]:
    panel = show(ledger["panel.name"])
    service = ledger["panel.kind"].value == "service"
    electrode = {
        "kind": "electrode",
        "name": _word("electrode"),
        "rating": "",
        "state": "existing",
    }
    bond = {
        "kind": "bonding",
        "name": _word("main_bonding_jumper"),
        "rating": "",
        "state": "existing",
        "inside": True,
    }
    symbols: list[dict[str, object]] = [
        _symbol("utility", _text(ledger, "utility.name") or _word("utility")),
        _symbol("meter", _word("meter")),
        _symbol(
            "breaker",
            _word("service_disconnect"),
            show(ledger["service.rating"]),
            enclosure=panel if service else "",
            sides=(electrode, bond),
        ),
    ]
    if not service:
        symbols.append(
            _symbol(
                "breaker",
                _word("feeder_breaker"),
                _text(ledger, "panel.feeder_rating"),
            )
        )
    symbols.append(
        _symbol(
            "bus",
            f"{panel}",
            _text(ledger, "panel.bus_rating"),
            enclosure=panel,
            sides=(
                {
                    "kind": "loads",
                    "name": _word("existing_circuits"),
                    "rating": "",
                    "state": "existing",
                    "inside": True,
                },
            ),
        )
    )
    return symbols


def _circuit(plan: Plan) -> list[dict[str, object]]:
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
    ways = []
    for part in plan.parts:
        size = f"{show(part.fill.trade_size)} " if part.fill else ""
        ways.append(f"{size}{show(part.method)}, {show(part.length)}")
    receptacle = ledger["fact.is_receptacle"].value
    end = "receptacle" if receptacle else "fixed"
    name = _word("receptacle") if receptacle else _text(ledger, "circuit.equipment") or _word("charger")
    rating = (
        f"{show(ledger['circuit.configuration'])}, {show(ledger['receptacle.rating'])}"
        if receptacle
        else show(ledger["charging_current"])
    )
    return [
        _symbol(
            "breaker",
            kind,
            f"{show(ledger['overcurrent_rating'])}, {show(ledger['nominal_voltage'])}",
            state="new",
            enclosure=panel,
        ),
        _symbol(
            end,
            name,
            rating,
            state="new",
            conductor=f"{run}; {'; '.join(ways)}",
            run=run,
        ),
    ]


def _symbol(kind: str, name: str, rating: str = "", **more: object) -> dict[str, object]:
    return {"kind": kind, "name": name, "rating": rating, "sides": (), **more}


def _word(name: str) -> str:
    return words.word(f"one_line.{name}").label


def _text(ledger: Ledger, name: str) -> str:
    entry = ledger.get(name)
    return show(entry) if entry else ""
