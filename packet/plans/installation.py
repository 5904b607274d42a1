"""What is put in by hand: boxes, terminals, the readings, the facts that select the steps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from packet.codebook import Book
from packet.jobfile.model import Box, Job, Terminal
from packet.ledger import Check, Entry, Kind, Ledger, Verdict
from packet.plans.boxes import is_spliced, judge_box
from packet.plans.disputed import Sides
from packet.plans.givens import given, terminal_at, truth
from packet.plans.labels import terminal_checks
from packet.plans.place import Placed
from packet.plans.route import Circuit, PlannedPart, is_concealed, is_through_wall, takes_plates
from packet.quantities import ConductorSize
from packet.rules.box import sized_by_raceways
from packet.rules.readings import Outlet, Reading, grounding_path_resistance, readings
from packet.rules.torque import Screw, TerminalTorque, terminal_torque, tool_range
from packet.rules.voltage_drop import VoltageDrop

PIGTAIL = "panel_neutral_pigtail"
"""Terminal of the white wire that a GFCI breaker brings along."""

SPLICE = "splicing connector"
"""Where a job file reads off the connectors that join conductors in a box."""

LARGEST_SOLID = ConductorSize("10 AWG")


NEEDS_A_LADDER = frozenset({"attic", "basement", "crawl space", "exterior wall"})
"""Places where some of the wiring is out of reach from the floor."""

WORK_FIGURES = (
    "arc_rating_category",
    "free_length_at_box",
    "gfci_trip_high",
    "gfci_trip_low",
    "glove_voltage",
    "greatest_bend_sum",
    "insulation_test_voltage",
    "limited_approach_distance",
    "loaded_reading_wait",
    "meter_category",
    "meter_category_at_service",
    "meter_category_voltage",
    "overhead_line_distance",
    "restricted_approach_distance",
    "riser_protection_height",
    "sheath_inside_box",
    "shock_voltage",
)
"""Figures of the code book that the steps, tools and inspection points print."""


@dataclass(frozen=True)
class PlannedTerminal:
    """One terminal of the circuit: where, which wire, what torque, and who refers to it.

    `size` is None for the pigtail that comes with a breaker; `allowed` says how many
    conductors its label lets into it.
    """

    id: str
    place: str
    uses: tuple[str, ...]
    size: Entry | None
    material: Entry
    torque: TerminalTorque
    source: Entry | None
    allowed: Entry | None = None

    @property
    def takes_grounds(self) -> bool:
        """Say whether it is a grounding bar, where several conductors may share a screw."""
        return self.id == "panel_ground"


@dataclass(frozen=True)
class PlannedReading:
    """One reading of the test form, with the stage of the work it belongs to."""

    id: str
    stage: str
    meter: str
    probe_a: str
    probe_b: str
    low: Entry | None
    high: Entry | None
    action: str


@dataclass(frozen=True)
class Installed:
    """Everything that the working sheets lay out."""

    terminals: tuple[PlannedTerminal, ...]
    readings: tuple[PlannedReading, ...]
    boxes: tuple[Box, ...]


def installed(
    book: Book,
    ledger: Ledger,
    job: Job,
    circuit: Circuit,
    placed: Placed,
    parts: tuple[PlannedPart, ...],
    drop: VoltageDrop | None,
    taken: Sides,
    own: Mapping[str, bool],
) -> Installed:
    """Enter boxes, terminals, readings and facts into the ledger; give back their order.

    Parameters
    ----------
    drop : VoltageDrop or None
        None where nothing shows a voltage while the equipment runs.
    own : mapping
        The facts that only single kinds of work make true.
    """
    boxes = tuple(job.boxes or ())
    for number, box in enumerate(boxes, 1):
        judge_box(book, ledger, job, number, box, circuit, placed, parts)
    if placed.is_receptacle and not any(box.role.value == "outlet" for box in boxes):
        ledger.judge(Check("outlet_box_known", Verdict.ASK, (book.cite("conductor_fill"),)))
    terminals = tuple(_terminals(book, ledger, job, circuit, placed))
    span = tool_range([terminal.torque for terminal in terminals], book)
    for entry in span or ():
        ledger.add(entry)
    outlet = _outlet(job, circuit, placed, taken, boxes)
    tests = tuple(_readings(book, ledger, circuit, outlet, parts, drop))
    _facts(book, ledger, job, circuit, placed, parts, boxes)
    title = ledger["work.title"]
    for fact, holds in {**own, "has_loaded_reading": drop is not None}.items():
        ledger.add(Entry(f"fact.{fact}", holds, Kind.GIVEN, span=title.span))
    for name in WORK_FIGURES:
        ledger.add(book.figure(name))
    ledger.rows += [f"E-{number} {one.id}" for number, one in enumerate(terminals, 1)]
    ledger.rows += [f"F-{number} {one.id}" for number, one in enumerate(tests, 1)]
    return Installed(terminals, tests, boxes)


def _terminals(
    book: Book, ledger: Ledger, job: Job, circuit: Circuit, placed: Placed
) -> Iterator[PlannedTerminal]:
    material = ledger["conductor_material"]
    joins = _connector_is_tightened(book, job, circuit)
    for number, (key, place, uses, at, grounds) in enumerate(
        _landings(placed, circuit.hots, joins), 1
    ):
        read = terminal_at(job, at)
        size = circuit.grounding_size if grounds else circuit.size
        marked = given(f"terminal.{number}.marked_torque", read and read.torque)
        torque = terminal_torque(book, f"terminal.{number}", size, marked, _screw(number, read))
        ledger.judge(torque.check)
        if key != PIGTAIL:
            for check in terminal_checks(book, number, read, size, material):
                ledger.judge(check)
        if key == PIGTAIL:
            torque = replace(torque, general=())
        for entry in (torque.value, torque.metric, torque.feet, *torque.general):
            if entry is not None:
                ledger.add(entry)
        source = given(f"terminal.{number}.source", read and read.source) if marked else None
        if source is not None:
            ledger.add(source)
        wire = None if key == PIGTAIL else size
        allowed = given(f"terminal.{number}.conductors_allowed", read and read.conductors_allowed)
        if allowed is not None:
            ledger.add(allowed)
        yield PlannedTerminal(key, place, uses, wire, material, torque, source, allowed)


def _screw(number: int, read: Terminal | None) -> Screw:
    """Return what the job file says of a terminal's screw."""
    if read is None:
        return Screw()
    return Screw(
        read.drive.value if read.drive else None,
        given(f"terminal.{number}.across_flats", read.recess_width),
        read.slot_length.value if read.slot_length else None,
        bool(read.slot_width and read.slot_width.value == "wide"),
    )


def _connector_is_tightened(book: Book, job: Job, circuit: Circuit) -> bool:
    """Say whether conductors are joined by connectors with screws: large ones, or as read off."""
    if not any(is_spliced(job, box) for box in job.boxes or ()):
        return False
    read = terminal_at(job, SPLICE)
    return read is not None or sized_by_raceways(book, circuit.size)


def _landings(
    placed: Placed, hots: int, joins: bool
) -> Iterator[tuple[str, str, tuple[str, ...], str, bool]]:
    """Yield every terminal of the circuit: key, place, names in the steps, label, is it ground."""
    end = "outlet" if placed.is_receptacle else "equipment"
    hot = "receptacle hot" if placed.is_receptacle else "equipment line"
    part = "receptacle" if placed.is_receptacle else "equipment"
    yield "outlet_ground", end, ("outlet ground",), f"{part} ground", True
    if placed.has_neutral:
        yield "outlet_neutral", end, ("outlet neutral",), f"{part} neutral", False
    yield "outlet_l1", end, ("outlet line 1",), hot, False
    if hots > 1:
        yield "outlet_l2", end, ("outlet line 2",), hot, False
    if joins:
        yield "splice_ground", "box", ("splice ground",), SPLICE, True
        yield "splice_others", "box", ("splice others",), SPLICE, False
    yield (
        "panel_ground",
        "panel",
        ("panel ground bar", "panel grounding bar"),
        "panel grounding bar",
        True,
    )
    if placed.is_gfci.value:
        yield PIGTAIL, "panel", ("panel neutral bar",), "panel neutral bar", False
        if placed.has_neutral:
            yield "breaker_neutral", "panel", ("panel breaker neutral",), "panel breaker", False
    elif placed.has_neutral:
        yield "panel_neutral", "panel", ("panel neutral bar",), "panel neutral bar", False
    yield "panel_l1", "panel", ("panel breaker line 1",), "panel breaker", False
    if hots > 1:
        yield "panel_l2", "panel", ("panel breaker line 2",), "panel breaker", False


def _outlet(
    job: Job, circuit: Circuit, placed: Placed, taken: Sides, boxes: tuple[Box, ...]
) -> Outlet:
    """Return what the readings depend on."""
    return Outlet(
        neutral=placed.has_neutral,
        hots=circuit.hots,
        receptacle=placed.is_receptacle,
        gfci=bool(placed.is_gfci.value),
        service_panel=placed.is_service,
        insulation_test=bool(truth(job.circuit.insulation_test)),
        earlier_insulation_limit=taken.earlier_insulation_limit,
        metal_box=any(box.material.value == "metal" for box in boxes),
    )


def _readings(
    book: Book,
    ledger: Ledger,
    circuit: Circuit,
    outlet: Outlet,
    parts: tuple[PlannedPart, ...],
    drop: VoltageDrop | None,
) -> Iterator[PlannedReading]:
    solid = parts[0].is_cable and circuit.grounding_size.value <= LARGEST_SOLID
    path = grounding_path_resistance(
        book,
        circuit.grounding_size,
        ledger["circuit.length"],
        str(ledger["conductor_material"].value),
        "solid" if solid else "stranded",
    )
    ledger.add(path)
    stages = WIRES_FIRST if parts[0].is_cable else PANEL_FIRST
    current = dict(drop.drop.inputs)["I"] if drop else None
    planned = readings(book, outlet, path, drop.drop if drop else None, current)
    for reading in sorted(planned, key=lambda one: stages.index(_stage(one))):
        for end in (reading.low, reading.high):
            if end is not None:
                ledger.add(end)
        yield PlannedReading(
            reading.id,
            _stage(reading),
            reading.meter,
            reading.probe_a,
            reading.probe_b,
            reading.low,
            reading.high,
            reading.action,
        )


WIRES_FIRST = ("wires", "proof", "dead", "live", "loaded")
PANEL_FIRST = ("proof", "wires", "dead", "live", "loaded")
"""A cable is tested before the panel is opened; wires in a raceway are pulled into a dead panel."""


def _stage(reading: Reading) -> str:
    if reading.id.startswith(("apart-", "insulation-")):
        return "wires"
    if reading.kind == "proof" or reading.id.startswith("dead-"):
        return "proof"
    if reading.kind == "dead":
        return "dead"
    return (
        "loaded" if reading.probe_a.startswith("load") or reading.id == "voltage-fall" else "live"
    )


def _facts(
    book: Book,
    ledger: Ledger,
    job: Job,
    circuit: Circuit,
    placed: Placed,
    parts: tuple[PlannedPart, ...],
    boxes: tuple[Box, ...],
) -> None:
    def fact(name: str, value: object, source: Entry) -> None:
        ledger.add(Entry(f"fact.{name}", bool(value), Kind.GIVEN, span=source.span))

    title = ledger["work.title"]
    concealed = [is_concealed(part) for part in parts]
    cable = [part.is_cable for part in parts]
    fact("owner_does_work", job.people.work_by.value == "owner", title)
    fact("source_is_service_panel", placed.is_service, title)
    fact("is_receptacle", placed.is_receptacle, title)
    fact("has_neutral", placed.has_neutral, title)
    fact("uses_cable", any(cable), title)
    fact("uses_raceway", not all(cable), title)
    fact("cable_at_panel", cable[0], title)
    fact("is_buried", any(part.is_buried for part in parts), title)
    fact("is_inside_wall", any(concealed), title)
    fact("goes_through_wall", any(map(is_through_wall, parts)), title)
    metal = [box for box in boxes if box.material.value == "metal"]
    fact("has_metal_box", metal, title)
    fact("has_metal_outlet_box", [box for box in metal if box.role.value == "outlet"], title)
    passed = [box for box in metal if box.role.value == "pull" and not is_spliced(job, box)]
    fact("has_metal_pull_box", passed, title)
    switches = [box for box in boxes if box.role.value == "disconnect"]
    fact("has_disconnect_box", switches, title)
    fact("has_splices", any(is_spliced(job, box) for box in boxes), title)
    fact("is_outdoors", job.circuit.place.value in ("outdoors", "carport"), title)
    fact("is_aluminum", ledger["conductor_material"].value == "aluminum", title)
    fact("is_stranded", not (cable[0] and circuit.size.value <= LARGEST_SOLID), title)
    fact("white_wire_is_hot", any(cable) and not placed.has_neutral, title)
    fact("breaker_is_gfci", placed.is_gfci.value, title)
    fact("has_insulation_test", truth(job.circuit.insulation_test), title)
    for part, hidden in zip(parts, concealed, strict=True):
        at = f"route.{part.number}"
        attic = part.place.value == "attic"
        fact(f"{at}.is_cable", part.is_cable, part.method)
        fact(f"{at}.is_raceway", not part.is_cable, part.method)
        fact(f"{at}.is_solvent_joined", str(part.method.value).startswith("PVC"), part.method)
        fact(f"{at}.is_buried", part.is_buried, part.place)
        fact(f"{at}.is_inside_wall", hidden, part.place)
        fact(f"{at}.goes_through_wall", is_through_wall(part), part.place)
        fact(f"{at}.is_above_reach", part.place.value in NEEDS_A_LADDER, part.place)
        fact(f"{at}.is_attic", attic, part.place)
        fact(f"{at}.is_open_to_nails", takes_plates(book, part), part.method)
    for number, box in enumerate(boxes, 1):
        name = ledger[f"boxes.{number}.name"]
        fact(f"box.{number}.is_metal", box.material.value == "metal", name)
        fact(f"box.{number}.takes_cable", cable[-1], name)
        fact(f"box.{number}.takes_raceway", not cable[-1], name)
