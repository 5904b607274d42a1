"""Sheet H: the one-line diagram, from the utility down to the outlet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import count

from packet import words
from packet.ledger import Ledger
from packet.plans.branch_circuit import Plan
from packet.plans.pictures import Stretch
from packet.plans.route import PlannedPart
from packet.sheets import views
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
        for symbol in (*_supply(ledger), *_feeder(ledger), *_panel(ledger), *_circuit(plan))
    ]
    return views.OneLine(tuple(numbered))


def _supply(ledger: Ledger) -> Iterator[views.Symbol]:
    """Yield what stands between the utility and the main disconnect."""
    fault = ledger.get("available_fault_current")
    conductor = _service_conductors(ledger)
    size = _text(ledger, "service.electrode_conductor")
    to_earth = (
        _word("electrode_conductor", size=size) if size else _word("electrode_conductor_not_known")
    )
    sides = [
        views.SideSymbol("electrode", "", _word("electrode"), to_earth),
        views.SideSymbol("bonding", "", _word("main_bonding_jumper"), inside=True),
    ]
    limit = ledger.get("service.management_limit")
    if limit is not None:
        there = ledger.get("service.management_installed")
        manager = views.SideSymbol(
            "manager",
            "",
            _word("energy_management"),
            _word("managed", limit=show(limit)),
            "new" if there is not None and not there.value else "existing",
            inside=True,
            letters=_word("manager_letters"),
        )
        sides.insert(0, manager)
    yield views.Symbol(
        "utility",
        "",
        _text(ledger, "utility.name") or _word("utility"),
        _word("fault_current", current=show(fault)) if fault else "",
    )
    yield views.Symbol("meter", "", _word("meter"), letters=_word("meter_letters"))
    yield views.Symbol(
        "breaker",
        "",
        _word("service_disconnect"),
        show(ledger["service.rating"]),
        conductor=conductor,
        run=conductor,
        enclosure=show(ledger["panel.name"]) if _is_service(ledger) else "",
        sides=tuple(sides),
    )


def _service_conductors(ledger: Ledger) -> str:
    size, kind = _text(ledger, "service_conductor"), _text(ledger, "service.conductor_type")
    if not size:
        return _word("service_conductors_not_known")
    word = "service_conductors" if kind else "service_conductors_of_unknown_type"
    material = _text(ledger, "service_conductor_material")
    worded = _word(word, size=size, material=material, type=kind)
    return " ".join(part for part in worded.split(" ") if part)


def _feeder(ledger: Ledger) -> Iterator[views.Symbol]:
    """Yield the breaker at the start of the feeder, where the panel is a subpanel."""
    if not _is_service(ledger):
        yield views.Symbol(
            "breaker",
            "",
            _word("feeder_breaker"),
            _text(ledger, "panel.feeder_rating"),
            enclosure=_text(ledger, "panel.fed_from"),
        )


def _panel(ledger: Ledger) -> Iterator[views.Symbol]:
    name = show(ledger["panel.name"])
    loads = views.SideSymbol("loads", "", _word("existing_circuits"), inside=True)
    if _is_service(ledger):
        yield views.Symbol(
            "bus",
            "",
            _word("bus"),
            _text(ledger, "panel.bus_rating"),
            enclosure=name,
            sides=(loads,),
        )
        return
    conductor, ways = _feeder_run(ledger)
    run = f"{conductor}; {_text(ledger, 'feeder.method')}" if ways else conductor
    main = _text(ledger, "panel.main_rating")
    apart = views.SideSymbol(
        "apart", "", _word("neutral_apart"), _word("no_bond_here"), inside=True
    )
    if main:
        yield views.Symbol(
            "breaker", "", _word("panel_main"), main, "existing", conductor, run, name, ways=ways
        )
    yield views.Symbol(
        "bus",
        "",
        _word("bus"),
        _text(ledger, "panel.bus_rating"),
        conductor="" if main else conductor,
        run="" if main else run,
        enclosure=name,
        sides=(apart, loads),
        ways=() if main else ways,
    )


def _feeder_run(ledger: Ledger) -> tuple[str, tuple[str, ...]]:
    """Return the conductors of the feeder, and its cable or raceway with its length."""
    size, material = _text(ledger, "feeder.size"), _text(ledger, "feeder.material")
    if not size:
        return _word("feeder_not_known"), ()
    parts = [_word("feeder_hots", size=size, material=material)]
    for kind in ("neutral", "equipment_grounding"):
        found = _text(ledger, f"feeder.{kind}")
        if found:
            parts.append(_word(f"feeder_{kind}", size=found))
    method = _text(ledger, "feeder.method")
    length = _text(ledger, "feeder.length")
    return " + ".join(parts), (f"{method}, {length}",) if method else ()


def _circuit(plan: Plan) -> Iterator[views.Symbol]:
    """Yield the new circuit: its breaker, the boxes on its way, its outlet."""
    ledger = plan.ledger
    yield views.Symbol(
        "breaker",
        "",
        _word("gfci_breaker" if ledger["circuit.is_gfci"].value else "breaker"),
        f"{show(ledger['overcurrent_rating'])}, {show(ledger['nominal_voltage'])}",
        state="new",
        enclosure=show(ledger["panel.name"]),
    )
    conductor = _word(
        "run_with_neutral" if ledger["fact.has_neutral"].value else "run_without_neutral",
        size=show(ledger["conductor_size"]),
        ground=show(ledger["equipment_grounding"]),
        material=show(ledger["conductor_material"]),
    )
    other = ledger.get("circuit.detached_building")
    building = _word("other_building") if other and other.value else ""
    *passed, last = plan.stretches
    for number, stretch in enumerate(passed, 1):
        at_building = number == len(passed) and _is_disconnect(stretch)
        yield _reached(_stop(stretch), stretch, conductor, building if at_building else "")
    if building and not (passed and _is_disconnect(passed[-1])):
        open_question = views.Symbol(
            "switch", "", _word("building_disconnect"), _word("not_settled"), "new"
        )
        yield _reached(open_question, last, conductor, building)
        last = Stretch(())
    yield _reached(_outlet(plan), last, conductor, building)


def _reached(
    symbol: views.Symbol, stretch: Stretch, conductor: str, enclosure: str
) -> views.Symbol:
    """Return `symbol` with the wiring that leads to it, if any part of the route does."""
    ways = tuple(f"{_way(part)}, {show(part.length)}" for part in stretch.parts)
    methods = ", ".join(dict.fromkeys(_way(part) for part in stretch.parts))
    return replace(
        symbol,
        conductor=conductor if ways else "",
        run=f"{conductor}; {methods}" if ways else "",
        ways=ways,
        enclosure=enclosure,
    )


def _is_disconnect(stretch: Stretch) -> bool:
    return stretch.stop is not None and stretch.stop.role == "disconnect"


def _stop(stretch: Stretch) -> views.Symbol:
    """Return the box that a stretch ends at."""
    stop = stretch.stop
    if stop is None:
        raise ValueError("this stretch ends at the outlet")
    return views.Symbol(
        "switch" if stop.role == "disconnect" else "box",
        "",
        show(stop.name),
        _word(f"stop_{stop.role}"),
        "new",
    )


def _outlet(plan: Plan) -> views.Symbol:
    ledger = plan.ledger
    if ledger["fact.is_receptacle"].value:
        rating = f"{show(ledger['circuit.configuration'])}, {show(ledger['receptacle.rating'])}"
        return views.Symbol("receptacle", "", _word("receptacle"), rating, "new")
    return views.Symbol(
        "fixed",
        "",
        _text(ledger, "circuit.equipment") or show(ledger["equipment.title"]),
        show(plan.current),
        "new",
        letters=show(ledger["equipment.letters"]),
    )


def _way(part: PlannedPart) -> str:
    size = f"{show(part.fill.trade_size)} " if part.fill else ""
    return f"{size}{show(part.method)}"


def _is_service(ledger: Ledger) -> bool:
    return bool(ledger["panel.kind"].value == "service")


def _word(word: str, **values: str) -> str:
    return words.word(f"one_line.{word}").label.format(**values)


def _text(ledger: Ledger, name: str) -> str:
    entry = ledger.get(name)
    return show(entry) if entry else ""
