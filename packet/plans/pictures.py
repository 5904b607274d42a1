"""What only the pictures show: where the new circuit stops on its way, and what feeds the panel."""

from __future__ import annotations

from dataclasses import dataclass

from packet.codebook import Book
from packet.jobfile.model import Box, Job
from packet.ledger import Entry, Ledger
from packet.plans.givens import enter
from packet.plans.route import PlannedPart
from packet.rules.identification import conductor_colors


@dataclass(frozen=True)
class Stop:
    """A box on the way of the new circuit: its part in the work, its name and its material."""

    role: str
    name: Entry
    material: str


@dataclass(frozen=True)
class Stretch:
    """Parts of the route without a box between them; `stop` is None where the outlet follows."""

    parts: tuple[PlannedPart, ...]
    stop: Stop | None = None


def stretches(ledger: Ledger, job: Job, parts: tuple[PlannedPart, ...]) -> tuple[Stretch, ...]:
    """Return the route from box to box, in order; the last stretch ends at the outlet."""
    boxes = job.boxes or ()
    found: list[Stretch] = []
    ahead: list[PlannedPart] = []
    for planned, part in zip(parts, job.route, strict=True):
        ahead.append(planned)
        for number, box in enumerate(boxes, 1):
            if box.after is not None and box.after.value == part.name.value and _is_passed(box):
                stop = Stop(box.role.value, ledger[f"boxes.{number}.name"], box.material.value)
                found.append(Stretch(tuple(ahead), stop))
                ahead = []
    return (*found, Stretch(tuple(ahead)))


def _is_passed(box: Box) -> bool:
    return box.role.value != "outlet"


def enter_colors(
    book: Book, ledger: Ledger, parts: tuple[PlannedPart, ...], *, neutral: bool
) -> None:
    """Enter the color of each conductor at both ends, and the letters of a receptacle."""
    for end, part in (("panel", parts[0]), ("outlet", parts[-1])):
        colors = conductor_colors(book, end, part.method, neutral=neutral)
        for entry in (colors.line_1, colors.line_2, colors.neutral, colors.ground):
            if entry is not None:
                ledger.add(entry)
    ledger.add(book.figure("contact_letters"))


def enter_supply(ledger: Ledger, job: Job) -> None:
    """Enter what the one-line diagram shows ahead of the panel and no rule asks for."""
    service, feeder, circuit = job.service, job.panel.feeder, job.circuit
    managed = service.energy_management
    for name, leaf in (
        ("service_conductor", service.conductor),
        ("service_conductor_material", service.material),
        ("service.conductor_type", service.conductor_type),
        ("service.electrode_conductor", service.electrode_conductor),
        ("service.management_limit", managed and managed.limit),
        ("service.management_installed", managed and managed.installed),
        ("feeder.size", feeder and feeder.size),
        ("feeder.material", feeder and feeder.material),
        ("feeder.neutral", feeder and feeder.neutral),
        ("feeder.equipment_grounding", feeder and feeder.equipment_grounding),
        ("feeder.method", feeder and feeder.method),
        ("feeder.length", feeder and feeder.length),
        ("circuit.detached_building", circuit.detached_building),
    ):
        enter(ledger, name, leaf)
