"""The route of a branch circuit, part by part: place, raceway, supports, protection, depth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packet.codebook import Book
from packet.jobfile.model import Job, RoutePart
from packet.ledger import Check, Entry, Ledger, Verdict, computed
from packet.plans.givens import counted, given, must
from packet.rules.ampacity import CABLES
from packet.rules.cover import (
    cover_deep_enough,
    method_may_be_buried,
    minimum_cover,
    riser_protected_from,
    trench_depth,
)
from packet.rules.raceway import (
    ConductorGroup,
    RacewayFill,
    bends_between_pull_points,
    raceway_fill,
)
from packet.rules.support import (
    Supports,
    bend_wide_enough,
    cable_bend_radius,
    cable_in_garage,
    framing_protected,
    raceway_bend_radius,
    support_spacing_given,
    supports,
    words_of,
)
from packet.rules.wiring_method import (
    expansion_fittings,
    inside_is_wet,
    insulation_suits_wet,
    method_suits_moisture,
    method_suits_place,
    run_length_change,
)

PLASTIC = frozenset({"PVC-40", "PVC-80"})
BENT_CABLES = frozenset({"NM-B", "UF-B", "SER"})
FIELD_BENT = frozenset({"EMT", "RMC", "PVC-40", "PVC-80"})
OPEN = frozenset({"exterior wall", "attic", "garage exposed"})
"""Places where a plastic raceway follows the weather and grows and shrinks."""

FRAMED = frozenset({"interior wall", "basement", "attic", "crawl space"})
"""Places where wiring passes through or along framing members."""


@dataclass(frozen=True)
class Circuit:
    """What the parts of the route carry."""

    size: Entry
    grounding_size: Entry
    hots: int
    neutrals: int
    voltage: Entry
    rating: Entry
    protected_by_gfci: Entry


CONCEALED = frozenset({"interior wall", "attic", "basement"})
"""Places where a part lies inside framing."""


@dataclass(frozen=True)
class PlannedPart:
    """One part of the route as planned; `fill` is None for a cable."""

    number: int
    name: Entry
    method: Entry
    length: Entry
    place: Entry
    is_cable: bool
    is_buried: bool
    supports: Supports | None
    fill: RacewayFill | None
    cover: Entry | None
    elbows: Entry | None
    pull_points: Entry | None
    expansion_fittings: Entry | None


def is_concealed(part: PlannedPart) -> bool:
    """Say whether holes are drilled for a part: it lies inside framing."""
    return part.place.value in CONCEALED


def is_through_wall(part: PlannedPart) -> bool:
    """Say whether a part on an exterior wall may have to be drilled through it."""
    return bool(part.place.value == "exterior wall")


def takes_plates(book: Book, part: PlannedPart) -> bool:
    """Say whether a nail could reach a concealed part where its hole is near the face.

    Rule
    ----
    methods_without_plates
    """
    return part.method.value not in words_of(book.figure("methods_without_plates"))


def may_be_buried(book: Book, job: Job) -> Iterator[Check]:
    """Judge the buried parts of the route: one that may not be buried cannot be planned."""
    for number, part in enumerate(job.route, 1):
        if _is_buried(part):
            at = f"route.{number}"
            above, method = must(f"{at}.above", part.above), must(f"{at}.method", part.method)
            yield method_may_be_buried(book, at, above, method)


def _is_buried(part: RoutePart) -> bool:
    return part.place.value == "underground" or bool(part.buried and part.buried.value)


def plan_part(
    book: Book, ledger: Ledger, number: int, part: RoutePart, circuit: Circuit
) -> PlannedPart:
    """Enter one part of the route into the ledger and judge it."""
    at = f"route.{number}"
    method = ledger.add(must(f"{at}.method", part.method))
    place = ledger.add(must(f"{at}.place", part.place))
    length = ledger.add(must(f"{at}.length", part.length))
    name = ledger.add(must(f"{at}.name", part.name))
    is_cable = method.value in CABLES
    buried = _is_buried(part)
    fill = None if is_cable else _fill(book, at, part, circuit, length, method)
    checks = list(_checks(book, at, part, method, place))
    if fill is not None:
        ledger.add(fill.trade_size)
        checks += [
            *_other_conductors(book, at, part),
            fill.check,
            bends_between_pull_points(book, at, given(f"{at}.bends", part.bends)),
        ]
    cover = None
    if buried:
        cover, check = _cover(book, at, part, circuit)
        checks.append(check)
        laid = book.figure("buried_outside_diameter", f"{at}.outside_diameter")
        planned = given(f"{at}.cover", part.cover)
        deepest = planned if planned and planned.value > cover.value else cover
        ledger.add(trench_depth(book, at, deepest, laid))
        ledger.add(riser_protected_from(book, at, cover))
    for check in checks:
        ledger.judge(check)
    held = None
    if not buried and part.place.value != "in slab":
        size = fill.trade_size if fill else None
        held = supports(book, at, str(method.value), length, size, circuit.size)
        for entry in (held.count, held.within):
            if entry is not None:
                ledger.add(entry)
        apart = given(f"{at}.support_spacing_planned", part.support_spacing)
        if apart is not None:
            ledger.judge(support_spacing_given(at, apart, held))
    _bend(book, ledger, at, part, fill)
    return PlannedPart(
        number,
        name,
        method,
        length,
        place,
        is_cable,
        buried,
        held,
        fill,
        cover,
        _elbows(book, ledger, at, part) if fill else None,
        given(f"{at}.pull_points", part.pull_points),
        _expansion(book, ledger, at, part, length),
    )


def _bend(book: Book, ledger: Ledger, at: str, part: RoutePart, fill: RacewayFill | None) -> None:
    """Enter the smallest bend of a cable whose diameter is known, or of a bent raceway."""
    method, least = str(part.method.value), None
    if fill is None:
        diameter = given(f"{at}.cable_diameter", part.cable_diameter)
        if diameter is not None and method in BENT_CABLES:
            least = cable_bend_radius(book, at, method, diameter)
    elif part.bends is not None and method in FIELD_BENT:
        least = raceway_bend_radius(book, at, fill.trade_size)
    if least is None:
        return
    ledger.add(least)
    planned = given(f"{at}.bend_radius_planned", part.bend_radius)
    if planned is not None:
        ledger.judge(bend_wide_enough(at, planned, least))


def _expansion(book: Book, ledger: Ledger, at: str, part: RoutePart, length: Entry) -> Entry | None:
    """Return the expansion fittings of a plastic raceway in the open; None for other parts."""
    if part.method.value not in PLASTIC or part.place.value not in OPEN:
        return None
    usual = book.figure("usual_temperature_change", f"{at}.temperature_change")
    change = ledger.add(run_length_change(book, at, length, usual))
    fittings = expansion_fittings(book, at, change)
    return ledger.add(fittings) if fittings else None


def _elbows(book: Book, ledger: Ledger, at: str, part: RoutePart) -> Entry | None:
    """Return how many right-angle elbows make up the bends of a raceway part."""
    bends = given(f"{at}.bends", part.bends)
    if bends is None:
        return None
    right_angle = book.figure("elbow_angle")
    return ledger.add(
        computed(f"{at}.elbows", "round_up(b / a)", right_angle.cite, b=bends, a=right_angle)
    )


def _fill(
    book: Book, at: str, part: RoutePart, circuit: Circuit, length: Entry, method: Entry
) -> RacewayFill:
    insulation = str(must(f"{at}.insulation", part.insulation).value)
    current = counted(f"{at}.conductors.1.count", circuit.hots + circuit.neutrals, method)
    grounds = counted(f"{at}.conductors.2.count", 1, method)
    groups = (
        ConductorGroup(current, circuit.size, insulation),
        ConductorGroup(grounds, circuit.grounding_size, insulation),
    )
    size = given(f"{at}.trade_size", part.trade_size)
    return raceway_fill(book, at, str(method.value), groups, length, size)


def _other_conductors(book: Book, at: str, part: RoutePart) -> Iterator[Check]:
    """Ask for the room that the conductors of other circuits take up: their size is not known."""
    others = given(f"{at}.current_carrying_extra", part.current_carrying_extra)
    if others is not None and others.value.magnitude:
        cite = book.cite("mixed_conductors_by_area")
        yield Check(f"{at}.other_conductors_fit", Verdict.ASK, (cite,), left=others)


def _checks(book: Book, at: str, part: RoutePart, method: Entry, place: Entry) -> Iterator[Check]:
    yield method_suits_place(book, at, method, place)
    wet = given(f"{at}.wet", part.wet)
    is_wet = inside_is_wet(book, at, place, wet) if wet else None
    yield method_suits_moisture(book, at, method, is_wet)
    insulation = given(f"{at}.insulation", part.insulation)
    if insulation is not None and is_wet is not None:
        yield insulation_suits_wet(book, at, insulation, is_wet)
    if part.place.value in FRAMED:
        distance = given(f"{at}.edge_distance", part.edge_distance)
        yield framing_protected(book, at, str(method.value), distance)
    if part.place.value == "garage exposed":
        yield cable_in_garage(book, at, str(method.value), None)


def _cover(book: Book, at: str, part: RoutePart, circuit: Circuit) -> tuple[Entry, Check]:
    need = minimum_cover(
        book,
        at,
        str(must(f"{at}.above", part.above).value),
        str(part.method.value),
        circuit.voltage,
        circuit.rating,
        circuit.protected_by_gfci,
    )
    planned = given(f"{at}.cover", part.cover)
    return need, cover_deep_enough(book, at, planned, need)
