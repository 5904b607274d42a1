"""What the tests of the installation rules share."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import Any

import yaml

from packet.ledger import FUNCTIONS, Check, Entry, Ledger
from packet.quantities import Quantity, quantity
from packet.rules.box import BoxConductors, BoxContents, Device
from packet.rules.raceway import ConductorGroup
from tests.rules.givens import all_behind, given, size

EXACT = Decimal("1e-20")
"""Feet in metres have no last decimal; nothing else may differ."""

EXAMPLES = Path(__file__).parents[1] / "worked_examples"


def examples(name: str) -> Any:
    """Return a file of published examples."""
    return yaml.safe_load((EXAMPLES / f"{name}.yaml").read_text("utf-8"))


def ids(case: Any) -> str:
    """Return the name of one published example."""
    return str(case["name"])


def group(
    number: int, count: Any, of: Any, insulation: str = "THHN/THWN-2", at: str = "route.1"
) -> ConductorGroup:
    """Return like conductors of a raceway."""
    place = f"{at}.conductors.{number}"
    return ConductorGroup(
        given(f"{place}.count", count, ""), size(f"{place}.size", str(of)), insulation
    )


def conductors(number: int, count: Any, of: Any, at: str = "box.1") -> BoxConductors:
    """Return like conductors of a box."""
    place = f"{at}.conductors.{number}"
    return BoxConductors(given(f"{place}.count", count, ""), size(f"{place}.size", str(of)))


def grounds(count: Any, of: Any, at: str = "box.1") -> BoxConductors:
    """Return the equipment grounding conductors of a box."""
    return BoxConductors(
        given(f"{at}.grounds_count", count, ""), size(f"{at}.grounds_size", str(of))
    )


def device(gangs: int, of: Any, number: int = 1, at: str = "box.1") -> Device:
    """Return a device of so many gangs."""
    place = f"{at}.devices.{number}"
    return Device(given(f"{place}.gangs", gangs, ""), size(f"{place}.size", str(of)))


def outlet_contents(gangs: int = 2, of: Any = 6, ground: Any = 10, count: int = 3) -> BoxContents:
    """Return what a receptacle outlet at the end of one cable holds: hots, neutral, ground."""
    return BoxContents((conductors(1, count, of),), grounds(1, ground), (device(gangs, of),))


def reworked(entries: Iterable[Entry]) -> list[str]:
    """Return the computed entries whose formula, done again, does not give their value."""
    wrong = []
    for entry in all_behind(entries):
        if entry.formula:
            values = {symbol: source.value for symbol, source in entry.inputs}
            code = compile(entry.formula, entry.name, "eval")
            result = eval(code, {"__builtins__": {}, **FUNCTIONS}, values)  # noqa: S307
            result = result if isinstance(result, Quantity) else quantity(result)
            difference = result.to(entry.value.units) - entry.value
            if abs(difference.magnitude) > EXACT:
                wrong.append(entry.name)
    return wrong


def enters_ledger(entries: Iterable[Entry | None], checks: Iterable[Check] = ()) -> Ledger:
    """Enter everything into one ledger; fails where one name has two values."""
    ledger = Ledger()
    for entry in entries:
        if entry is not None:
            ledger.add(entry)
    for check in checks:
        ledger.judge(check)
    return ledger
