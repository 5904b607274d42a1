"""Values that must agree with each other, where no code book is needed to see it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from packet.jobfile.faults import Faults
from packet.jobfile.model import (
    Box,
    Circuit,
    Dwelling,
    Given,
    Load,
    Offer,
    Options,
    OutletPlaces,
    Panel,
    People,
    Prices,
    RoutePart,
    Terminal,
    Work,
)
from packet.jobfile.values import listed, suggestion
from packet.problems import Span, typed
from packet.quantities import magnitude

WHOLE = Decimal(100)
"""All shares of a price together, in percent."""


def dates(faults: Faults, work: Work) -> None:
    """Require that the work begins on or after the day the file was written."""
    if work.planned_start.value < work.written.value:
        faults.add(
            "J045",
            work.planned_start.span,
            path=work.planned_start.path,
            date=work.planned_start.value,
            other=work.written.path,
            earlier=work.written.value,
        )


def ratings_in_amperes(faults: Faults, dwelling: Dwelling) -> None:
    """Require the voltage of a load that is rated in amperes."""
    for load in dwelling.loads:
        if load.volts is None and _is_current(load):
            faults.add("J047", load.rating.span, path=load.path)


def _is_current(load: Load) -> bool:
    return bool(load.rating.value.is_compatible_with("A"))


def breaker_spaces(faults: Faults, panel: Panel) -> None:
    """Require that each space exists and holds one breaker, or the halves of a tandem."""
    taken: dict[tuple[int, str], Span] = {}
    for breaker in panel.breakers:
        _spaces_exist(faults, breaker.spaces, panel)
        half = breaker.tandem.value if breaker.tandem else ""
        for space in dict.fromkeys(breaker.spaces.value):
            rivals = ("", half) if half else ("", "upper", "lower")
            first = next((taken[space, r] for r in rivals if (space, r) in taken), None)
            if first is not None:
                faults.add("J041", breaker.spaces.span, "breaker", space=space, line=first.line)
            taken.setdefault((space, half), breaker.spaces.span)


def new_breaker_spaces(faults: Faults, panel: Panel, circuit: Circuit) -> None:
    """Require that the spaces for the new breaker are two, exist, and are free."""
    wanted = circuit.spaces
    if wanted is None:
        return
    _spaces_exist(faults, wanted, panel)
    if len(set(wanted.value)) == len(wanted.value) != 2:
        faults.add("J048", wanted.span, count=len(wanted.value))
    for breaker in panel.breakers:
        for space in sorted(set(wanted.value) & set(breaker.spaces.value)):
            line = breaker.spaces.span.line
            faults.add("J041", wanted.span, "circuit", space=space, line=line)


def _spaces_exist(faults: Faults, spaces: Given[tuple[int, ...]], panel: Panel) -> None:
    for space in sorted({s for s in spaces.value if spaces.value.count(s) > 1}):
        faults.add("J043", spaces.span, space=space)
    count = int(magnitude(panel.spaces.value, "each"))
    for space in sorted(set(spaces.value)):
        if space > count:
            faults.add("J042", spaces.span, space=space, spaces=count)


def setting_below_nameplate(faults: Faults, circuit: Circuit) -> None:
    """Require a setting that is not above the nameplate."""
    equipment = circuit.equipment
    if equipment is None or equipment.setting is None:
        return
    setting, nameplate = equipment.setting.current, equipment.nameplate_current
    if setting.value > nameplate.value:
        faults.add(
            "J044",
            setting.span,
            setting=_as_typed(faults, setting),
            nameplate=_as_typed(faults, nameplate),
        )


def single_conductors(faults: Faults, panel: Panel, circuit: Circuit) -> None:
    """Refuse conductors in parallel, which no rule here works out."""
    sets = [circuit.conductors_in_parallel]
    sets += [panel.feeder.conductors_in_parallel] if panel.feeder else []
    for leaf in sets:
        if leaf is not None and magnitude(leaf.value, "each") > 1:
            count = f"{magnitude(leaf.value, 'each'):f}"
            faults.add("J052", leaf.span, path=leaf.path, count=count)


def route_names(faults: Faults, route: tuple[RoutePart, ...]) -> None:
    """Require a name of its own for each part of the route."""
    _named_once(faults, "the part", ((part.name.value, part.name.span) for part in route))


def underground_is_buried(faults: Faults, route: tuple[RoutePart, ...]) -> None:
    """Require that a part that is underground says so, with what lies over it."""
    for part in route:
        if part.place.value == "underground" and not (part.buried and part.buried.value):
            faults.add("J051", part.place.span, path=part.path)


def box_names(faults: Faults, boxes: tuple[Box, ...] | None) -> None:
    """Require a name of its own for each box."""
    _named_once(faults, "the box", ((box.name.value, box.name.span) for box in boxes or ()))


def boxes_on_the_route(
    faults: Faults, boxes: tuple[Box, ...] | None, route: tuple[RoutePart, ...]
) -> None:
    """Require that a box stands where a part of the route ends."""
    for box in boxes or ():
        if box.after is not None:
            _part_is_there(faults, box.after, route)


def _part_is_there(faults: Faults, leaf: Given[str], route: tuple[RoutePart, ...]) -> None:
    names = [part.name.value for part in route]
    if leaf.value in names:
        return
    near = suggestion(leaf.value, names)
    faults.add(
        "J046",
        leaf.span,
        "near" if near else "takes",
        path=leaf.path,
        name=typed(leaf.value),
        near=near,
        choices=listed(names),
    )


CHARGING = "vehicle charging"


def options_of_a_charger(faults: Faults, options: Options | None, circuit: Circuit) -> None:
    """Require vehicle charging where options are given: chargers are what they compare."""
    if options is not None and circuit.serves.value != CHARGING:
        faults.add("J074", options.span, serves=circuit.serves.value)


MOST_PLACES = 40
"""Places of the outlet that are tried in one run."""


def places_of_the_outlet(
    faults: Faults, options: Options | None, route: tuple[RoutePart, ...], circuit: Circuit
) -> None:
    """Require places in order, not too many, on a part of the route, at a known height."""
    outlet = options.outlet if options is not None else None
    if outlet is None:
        return
    _part_is_there(faults, outlet.part, route)
    _places_in_order(faults, outlet)
    if circuit.height is None:
        faults.add("J072", outlet.span, path=outlet.path)


def _places_in_order(faults: Faults, outlet: OutletPlaces) -> None:
    first, last, step = outlet.first, outlet.last, outlet.step
    shown = {
        name: _as_typed(faults, leaf)
        for name, leaf in (("first", first), ("last", last), ("step", step))
    }
    if last.value < first.value:
        faults.add("J070", last.span, path=last.path, **shown)
        return
    count = 1 + int(magnitude((last.value - first.value) / step.value, ""))
    if count > MOST_PLACES:
        faults.add("J071", step.span, count=count, limit=MOST_PLACES, **shown)


def settings_of_the_options(faults: Faults, options: Options | None) -> None:
    """Require settings below the nameplate: an equal one changes nothing."""
    for charger in (options.chargers if options is not None else None) or ():
        setting, nameplate = charger.setting, charger.nameplate_current
        if setting is not None and setting.value >= nameplate.value:
            faults.add(
                "J073",
                setting.span,
                setting=_as_typed(faults, setting),
                nameplate=_as_typed(faults, nameplate),
            )


def terminals_named_once(faults: Faults, terminals: tuple[Terminal, ...] | None) -> None:
    """Require that each terminal is read off once, with its sizes in order."""
    _named_once(faults, "the terminal", ((t.at.value, t.at.span) for t in terminals or ()))
    for terminal in terminals or ():
        sizes = terminal.wire_range
        if sizes is not None and sizes.smallest.value > sizes.largest.value:
            faults.add(
                "J050",
                sizes.smallest.span,
                smallest=sizes.smallest.value.name,
                largest=sizes.largest.value.name,
            )


def terminals_of_the_connection(
    faults: Faults, terminals: tuple[Terminal, ...] | None, circuit: Circuit
) -> None:
    """Refuse terminals of a receptacle in a hardwired job, and the other way round."""
    strange = "equipment" if circuit.connection.value == "receptacle" else "receptacle"
    for terminal in terminals or ():
        if terminal.at.value.startswith(strange):
            faults.add(
                "J049",
                terminal.at.span,
                path=terminal.at.path,
                terminal=terminal.at.value,
                connection=circuit.connection.value,
            )


def prices_named_once(faults: Faults, prices: Prices | None) -> None:
    """Require one line for one material."""
    lines = prices.items if prices is not None else ()
    _named_once(faults, "the price of", ((line.item.value, line.item.span) for line in lines))


def offer_is_by_an_electrician(faults: Faults, offer: Offer | None, people: People) -> None:
    """Refuse an offer where the owner does the work: it would be read and never printed."""
    if offer is not None and people.work_by.value == "owner":
        faults.add("J055", offer.span, path=people.work_by.path)


def payments_come_to_all(faults: Faults, offer: Offer | None) -> None:
    """Require that the shares of the payments come to the whole price."""
    if offer is None or not offer.payments:
        return
    shares = sum(
        (magnitude(payment.share.value, "percent") for payment in offer.payments), Decimal(0)
    )
    if shares != WHOLE:
        faults.add("J056", offer.payments[-1].share.span, shares=f"{shares.normalize():f}")


def _named_once(faults: Faults, what: str, names: Iterable[tuple[str, Span]]) -> None:
    first: dict[str, Span] = {}
    for name, span in names:
        if name in first:
            faults.add("J040", span, what=what, name=typed(name), line=first[name].line)
        first.setdefault(name, span)


def _as_typed(faults: Faults, leaf: Given[Any]) -> str:
    start = leaf.span.column - 1
    return faults.lines[leaf.span.line - 1][start : start + leaf.span.length]


AGREEMENTS: tuple[tuple[tuple[str, ...], Callable[..., None]], ...] = (
    (("work",), dates),
    (("dwelling",), ratings_in_amperes),
    (("panel",), breaker_spaces),
    (("panel", "circuit"), new_breaker_spaces),
    (("circuit",), setting_below_nameplate),
    (("panel", "circuit"), single_conductors),
    (("route",), route_names),
    (("route",), underground_is_buried),
    (("boxes",), box_names),
    (("boxes", "route"), boxes_on_the_route),
    (("terminals",), terminals_named_once),
    (("terminals", "circuit"), terminals_of_the_connection),
    (("prices",), prices_named_once),
    (("offer", "people"), offer_is_by_an_electrician),
    (("offer",), payments_come_to_all),
    (("options", "route", "circuit"), places_of_the_outlet),
    (("options",), settings_of_the_options),
    (("options", "circuit"), options_of_a_charger),
)
"""What must agree, and the sections it is seen in; each is asked where those are whole."""
