"""The boxes of a circuit: what they hold, how large they must be, and which have splices."""

from __future__ import annotations

from collections.abc import Iterator

from packet.codebook import Book
from packet.jobfile.model import Box, Job, RoutePart
from packet.ledger import Check, Entry, Ledger, Verdict, chosen
from packet.plans.givens import count, counted, given, must, truth
from packet.plans.place import Placed
from packet.plans.route import Circuit, PlannedPart
from packet.rules.ampacity import CABLES
from packet.rules.box import (
    BoxConductors,
    BoxContents,
    Device,
    angle_pull_length,
    box_fill,
    box_holds_contents,
    box_suits_wet_place,
    free_conductor_length,
    pull_box_long_enough,
    raceway_entries_apart,
    raceway_spacing,
    sized_by_raceways,
    straight_pull_length,
)
from packet.rules.disconnect import switch_wiring_space
from packet.rules.receptacle import OPEN_AIR
from packet.rules.support import words_of
from packet.rules.wiring_method import inside_is_wet

STRAIGHT: dict[str, tuple[str, ...]] = {
    "straight across the width": ("width",),
    "straight across the height": ("height",),
}
TURNED: dict[str, tuple[str, ...]] = {
    "around a corner": ("width", "height"),
    "back out across the width": ("width",),
    "back out across the height": ("height",),
}
"""How conductors go through a box -> the inside dimensions that the pull needs."""


def is_spliced(job: Job, box: Box) -> bool:
    """Say whether conductors are joined in a box: a junction, or where a cable meets raceway.

    Through a pull box between raceways they go in one piece.
    """
    role = box.role.value
    if role != "pull":
        return role == "junction"
    return any(part.method.value in CABLES for part in _around(job, box))


def _around(job: Job, box: Box) -> list[RoutePart]:
    names = [part.name.value for part in job.route]
    if box.after is None or box.after.value not in names:
        return []
    place = names.index(box.after.value)
    return list(job.route[place : place + 2])


def judge_box(
    book: Book,
    ledger: Ledger,
    job: Job,
    number: int,
    box: Box,
    circuit: Circuit,
    placed: Placed,
    parts: tuple[PlannedPart, ...],
) -> None:
    """Enter one box into the ledger and judge its size and its place."""
    at = f"box.{number}"
    name = ledger.add(must(f"boxes.{number}.name", box.name))
    ledger.add(
        free_conductor_length(
            book, at, given(f"{at}.depth", box.depth), given(f"{at}.opening", box.opening)
        )
    )
    around = _parts_around(box, parts)
    wet = place_is_wet(book, job, box, parts)
    if wet is not None:
        listed = truth(box.listed_for_wet)
        ledger.judge(box_suits_wet_place(book, at, wet, listed=listed))
    if box.role.value == "disconnect":
        ledger.judge(switch_wiring_space(book, at))
        return
    if sized_by_raceways(book, circuit.size, circuit.grounding_size):
        for check in _pull_checks(book, at, job, box, around):
            ledger.judge(check)
        return
    _fill(book, ledger, job, number, box, circuit, placed, name)


def _parts_around(box: Box, parts: tuple[PlannedPart, ...]) -> tuple[PlannedPart, ...]:
    """Return the parts of the route that enter a box; the last one for a box at the end."""
    if box.after is None:
        return parts[-1:]
    names = [part.name.value for part in parts]
    place = names.index(box.after.value)
    return parts[place : place + 2]


def place_is_wet(book: Book, job: Job, box: Box, parts: tuple[PlannedPart, ...]) -> Entry | None:
    """Return where a box is open to the weather, None where nothing says that it is.

    A box is where the part stands that ends in it.
    """
    around = _parts_around(box, parts)
    part = job.route[around[0].number - 1] if around else job.route[-1]
    at = f"route.{around[0].number if around else len(job.route)}"
    wet = given(f"{at}.wet", part.wet)
    if box.role.value == "outlet":
        weather = given("circuit.weather", job.circuit.weather)
        if weather is not None and weather.value == "wet":
            return weather
        sheltered = weather is not None and weather.value == "damp"
        in_the_open = job.circuit.place.value in OPEN_AIR and not sheltered
        return must("circuit.place", job.circuit.place) if in_the_open else None
    place = must(f"{at}.place", part.place)
    if wet is not None:
        return wet if inside_is_wet(book, at, place, wet).value else None
    return place if place.value in words_of(book.figure("wet_places")) else None


def _pull_checks(
    book: Book, at: str, job: Job, box: Box, around: tuple[PlannedPart, ...]
) -> Iterator[Check]:
    """Judge a box on large conductors by the raceways that enter it."""
    raceways = [
        chosen(
            f"{at}.raceways.{number}.size",
            part.fill.trade_size.value,
            book.cite("nominal_trade_size"),
            size=part.fill.trade_size,
        )
        for number, part in enumerate(around, 1)
        if part.fill is not None
    ]
    way = box.pull.value if box.pull is not None else None
    if box.role.value == "outlet" or way is None or len(raceways) < 2:
        yield Check(f"{at}.pull_is_known", Verdict.ASK, (book.cite("angle_pull_times"),))
        return
    spliced = is_spliced(job, box)
    if way in STRAIGHT and not spliced:
        need, sides = straight_pull_length(book, at, raceways), STRAIGHT[way]
    elif way in STRAIGHT:
        largest = max(raceways, key=lambda one: one.value)
        need, sides = angle_pull_length(book, at, [largest]), STRAIGHT[way]
    elif way == "around a corner":
        largest = max(raceways, key=lambda one: one.value)
        need, sides = angle_pull_length(book, at, [largest]), TURNED[way]
    else:
        need, sides = angle_pull_length(book, at, raceways), TURNED[way]
    for side in sides:
        inside = given(f"{at}.inside_{side}", getattr(box, side))
        yield pull_box_long_enough(at, inside, need, side)
    if way in TURNED and not spliced:
        largest = max(raceways, key=lambda one: one.value)
        apart = given(f"{at}.entry_spacing", box.entry_spacing)
        yield raceway_entries_apart(at, apart, raceway_spacing(book, at, largest))


def _fill(
    book: Book,
    ledger: Ledger,
    job: Job,
    number: int,
    box: Box,
    circuit: Circuit,
    placed: Placed,
    name: Entry,
) -> None:
    """Judge the volume of a box on smaller conductors."""
    at = f"box.{number}"
    through = box.role.value == "pull" and not is_spliced(job, box)
    runs = 1 if box.role.value == "outlet" or through else 2
    conductors = (circuit.hots + circuit.neutrals) * runs
    metal = box.material.value == "metal"
    devices = (
        (Device(_gangs(book, at, box, circuit, name), circuit.size),)
        if box.role.value == "outlet" and placed.is_receptacle
        else ()
    )
    contents = BoxContents(
        (BoxConductors(counted(f"{at}.conductors.1.count", conductors, name), circuit.size),),
        BoxConductors(
            counted(f"{at}.grounds_count", runs + int(metal), name), circuit.grounding_size
        ),
        devices,
        internal_clamps=_has_clamps(job, box),
    )
    fill = ledger.add(box_fill(book, at, contents))
    marked = given(f"{at}.marked_volume", box.volume)
    ring = given(f"{at}.ring_volume", box.ring_volume)
    kind = "square" if metal else "device"
    ledger.judge(box_holds_contents(book, at, fill, marked, ring, (kind,)))


def _gangs(book: Book, at: str, box: Box, circuit: Circuit, name: Entry) -> Entry:
    """Return the gangs of the receptacle: as given, else those of its usual width."""
    wide = circuit.rating.value > book.figure("one_gang_receptacle_rating").value
    return count(f"{at}.devices.1.gangs", box.gangs, 2 if wide else 1, name)


def _has_clamps(job: Job, box: Box) -> bool:
    """Say whether clamps inside the box are counted: for cable they are, until ruled out."""
    inside = truth(box.internal_clamps)
    return any(part.method.value in CABLES for part in job.route) if inside is None else inside
