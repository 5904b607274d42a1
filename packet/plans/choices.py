"""What could be built instead, choice by choice: each as changes of the job file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from packet.codebook import Book
from packet.jobfile.change import Changes
from packet.jobfile.model import (
    ByElectrician,
    ByOwner,
    ChargerChoice,
    Given,
    Job,
    MethodChoice,
    Options,
)
from packet.jobfile.schema import keys
from packet.ledger import Check, Entry, Kind, chosen
from packet.plans.givens import must
from packet.quantities import magnitude, round_shown
from packet.rules import choosing
from packet.rules.ampacity import CABLES

OWNER, ELECTRICIAN = "owner", "licensed electrician"
HARDWIRED, RECEPTACLE = "hardwired", "receptacle"

ALONG_THE_WALL = (
    "first",
    "last",
    "step",
    "now",
    "wire_comes_at",
    "inlet_along",
    "inlet_out",
    "inlet_height",
)
"""Measures of the outlet's places, in feet from one corner or from the wall."""

SIZED_ANEW = ("overcurrent_device", "conductor", "equipment_grounding")
"""Keys of the circuit that another charger, method or material leaves to be chosen."""

OF_A_RACEWAY = ("insulation", "bends", "trade_size")
OF_ONE_METHOD = ("trade_size", "bend_radius", "cable_diameter", "support_spacing")


@dataclass(frozen=True)
class Choice:
    """One way to answer one question of the design.

    Parameters
    ----------
    kind : str
        The question: ``place``, ``charger``, ``method``, ``material``, ``load`` or ``by``.
    changes : Changes
        What it changes in the job file; nothing where the file has it so.
    facts : tuple of Entry
        What is reckoned of it before the job is planned.
    check : Check, optional
        Judged of it beside the job.
    """

    kind: str
    changes: Changes = field(default_factory=dict)
    facts: tuple[Entry, ...] = ()
    check: Check | None = None


def choices(book: Book, job: Job, options: Options) -> tuple[tuple[Choice, ...], ...]:
    """Return every choice, question by question; first what the job file has."""
    return (
        tuple(_places(book, job, options)),
        tuple(_chargers(book, job, options)),
        tuple(_methods(job, options)),
        tuple(_materials(job, options)),
        tuple(_load_methods(job, options)),
        tuple(_who(job, options)),
    )


def _places(book: Book, job: Job, options: Options) -> Iterator[Choice]:
    """Yield each place of the outlet from the first by steps, the present one before them."""
    outlet = options.outlet
    if outlet is None:
        yield Choice("place")
        return
    at = {name: must(f"options.{name}", getattr(outlet, name)) for name in ALONG_THE_WALL}
    number = next(n for n, part in enumerate(job.route, 1) if part.name.value == outlet.part.value)
    length = must("options.part_length", job.route[number - 1].length)
    height = must("options.height", job.circuit.height)
    cords = [
        Entry(f"options.cord.{n}", one, Kind.GIVEN, span=outlet.cords.span)
        for n, one in enumerate(outlet.cords.value, 1)
    ]
    steps = int(magnitude((outlet.last.value - outlet.first.value) / outlet.step.value, ""))
    tried = [outlet.first.value + outlet.step.value * step for step in range(steps + 1)]
    now = outlet.now.value
    for where in (now, *(one for one in tried if one != now)):
        limits = {name: at[name] for name in ("first", "last", "step", "now")}
        place = chosen("option.place", where, book.cite("comparison_arithmetic"), **limits)
        part = choosing.part_length_at(book, length, place, at["now"], at["wire_comes_at"])
        needed = choosing.cord_needed(
            book, place, height, at["inlet_along"], at["inlet_out"], at["inlet_height"]
        )
        cord, check = choosing.cord_reaches(book, needed, cords)
        feet = round_shown(magnitude(part.value, "ft"), 2, "up")
        changes = {
            f"route.{number}.length": f"{feet.normalize():f} ft",
            "options.outlet.now": _typed(where, "ft"),
        }
        facts = (place, part, needed, *cords, *((cord,) if cord else ()))
        yield Choice("place", {} if where == now else changes, facts, check)


def _chargers(book: Book, job: Job, options: Options) -> Iterator[Choice]:
    yield Choice("charger")
    equipment = job.circuit.equipment
    own = equipment and (
        equipment.nameplate_current.value,
        equipment.setting.current.value if equipment.setting else None,
        job.circuit.connection.value,
        job.circuit.configuration.value if job.circuit.configuration else None,
    )
    for line in options.chargers or ():
        same = (
            line.nameplate_current.value,
            line.setting.value if line.setting else None,
            line.connection.value if line.connection else job.circuit.connection.value,
            _configuration(job, line),
        )
        if same != own:
            yield Choice("charger", _charger(job, line))
    if options.chargers is None:
        usual = book.figure("charging_settings").value
        for current in usual:
            if own is None or current != own[0]:
                changes = _sized_anew() | _other_nameplate(_typed(current, "A"))
                yield Choice("charger", changes | {"circuit.equipment.setting": None})


def _configuration(job: Job, line: ChargerChoice) -> str | None:
    if line.configuration is not None:
        return line.configuration.value
    if line.connection is not None:
        return None
    return job.circuit.configuration.value if job.circuit.configuration else None


def _charger(job: Job, line: ChargerChoice) -> dict[str, str | None]:
    at = "circuit.equipment"
    changes = _sized_anew()
    equipment = job.circuit.equipment
    if equipment is None or equipment.nameplate_current.value != line.nameplate_current.value:
        changes |= _other_nameplate(_typed(line.nameplate_current.value, "A"))
    if line.setting is None:
        changes[f"{at}.setting"] = None
    else:
        changes |= {
            f"{at}.setting.current": _typed(line.setting.value, "A"),
            f"{at}.setting.access": "restricted",
            f"{at}.setting.on_label": "yes",
        }
    if line.connection is None:
        return changes
    if line.configuration is not None:
        changes["circuit.configuration"] = line.configuration.value
    if line.connection.value == job.circuit.connection.value:
        return changes
    wired = line.connection.value == HARDWIRED
    changes |= {"circuit.connection": line.connection.value, f"{at}.fastened": _yes_no(wired)}
    if wired:
        changes |= {"circuit.configuration": None, "circuit.receptacle_grade": None}
    gone = RECEPTACLE if wired else "equipment"
    for number, terminal in enumerate(job.terminals or (), 1):
        if terminal.at.value.startswith(gone):
            changes[f"terminals.{number}"] = None
    return changes


def _sized_anew() -> dict[str, str | None]:
    return {f"circuit.{name}": None for name in SIZED_ANEW}


def _other_nameplate(current: str) -> dict[str, str | None]:
    """Return what another charger changes; the breaker that the present one allows is not its."""
    at = "circuit.equipment"
    return {f"{at}.nameplate_current": current, f"{at}.maximum_overcurrent_device": None}


def _methods(job: Job, options: Options) -> Iterator[Choice]:
    yield Choice("method")
    for line in options.methods or ():
        changes = _method(job, line)
        if any(path.endswith(".method") for path in changes):
            yield Choice("method", changes | _sized_anew())


def _method(job: Job, line: MethodChoice) -> dict[str, str | None]:
    """Return the changes of every part above ground that has another method."""
    changes: dict[str, str | None] = {}
    for number, part in enumerate(job.route, 1):
        buried = part.place.value == "underground" or (part.buried and part.buried.value)
        if buried or part.method.value == line.method.value:
            continue
        at = f"route.{number}"
        changes[f"{at}.method"] = line.method.value
        changes |= {f"{at}.{name}": None for name in OF_ONE_METHOD}
        if line.method.value in CABLES:
            changes |= {f"{at}.{name}": None for name in OF_A_RACEWAY}
            continue
        if line.insulation is not None and line.bends is not None:
            changes[f"{at}.insulation"] = line.insulation.value
            changes[f"{at}.bends"] = _typed(line.bends.value, "deg")
    return changes


def _materials(job: Job, options: Options) -> Iterator[Choice]:
    own = job.circuit.material.value if job.circuit.material else "copper"
    yield Choice("material")
    named = options.materials.value if options.materials else keys()["circuit.material"].choices
    for material in dict.fromkeys(named):
        if material != own:
            yield Choice("material", {"circuit.material": material} | _sized_anew())


def _load_methods(job: Job, options: Options) -> Iterator[Choice]:
    own = job.circuit.load_method.value if job.circuit.load_method else None
    yield Choice("load")
    named = options.load_methods
    for method in dict.fromkeys(named.value if named else keys()["circuit.load_method"].choices):
        if method != own:
            yield Choice("load", {"circuit.load_method": method})


def _who(job: Job, options: Options) -> Iterator[Choice]:
    yield Choice("by")
    if options.owner is not None and job.people.work_by.value != OWNER:
        yield Choice("by", _by_owner(options.owner))
    if options.electrician is not None:
        yield Choice("by", _by_electrician(options.electrician))


def _by_owner(who: ByOwner) -> dict[str, str | None]:
    return {
        "people.work_by": OWNER,
        "labour.hourly_rate": None,
        "labour.hours": None,
        "labour.hours_factor": _if_given(who.hours_factor),
        "offer": None,
    }


def _by_electrician(who: ByElectrician) -> dict[str, str | None]:
    return {
        "people.work_by": ELECTRICIAN,
        "people.installer.name": who.name.value,
        "labour.hourly_rate": _if_given(who.hourly_rate, "USD"),
        "labour.hours": None,
        "labour.hours_factor": _if_given(who.hours_factor),
    }


def managed(limit: Any) -> dict[str, str | None]:
    """Return the changes that put in an energy management system with a limit [A]."""
    at = "service.energy_management"
    return {
        f"{at}.limit": _typed(limit, "A"),
        f"{at}.listed": "yes",
        f"{at}.access_restricted": "yes",
        f"{at}.monitors_service": "yes",
    }


def _yes_no(value: bool) -> str:
    return "yes" if value else "no"


def _if_given(leaf: Given[Any] | None, unit: str = "") -> str | None:
    return None if leaf is None else _typed(leaf.value, unit)


def _typed(value: Any, unit: str = "") -> str:
    """Return a quantity as a person types it."""
    number = f"{magnitude(value, unit or 'dimensionless').normalize():f}"
    return f"{number} {unit}" if unit else number
