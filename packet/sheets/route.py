"""The way of the circuit in one line, part by part."""

from __future__ import annotations

from packet.plans.branch_circuit import Plan
from packet.plans.route import PlannedPart
from packet.showing import show


def run(part: PlannedPart) -> str:
    """Return what a part is made of and how long it is: ``3/4 EMT, 37 ft``."""
    size = f"{show(part.fill.trade_size)} " if part.fill else ""
    return f"{size}{show(part.method)}, {show(part.length)}"


def ways(plan: Plan) -> str:
    """Return what every part is made of."""
    return "; ".join(run(part) for part in plan.parts)


def named_ways(plan: Plan) -> str:
    """Return every part with its name, as a stranger in the house finds it."""
    return "; ".join(f"{show(part.name)}: {run(part)}" for part in plan.parts)


def placed_ways(plan: Plan) -> str:
    """Return every part with the kind of place it runs through."""
    return "; ".join(f"{run(part)}, {show(part.place)}" for part in plan.parts)


def methods(plan: Plan) -> list[str]:
    """Return every wiring method once."""
    return list(dict.fromkeys(show(part.method) for part in plan.parts))
