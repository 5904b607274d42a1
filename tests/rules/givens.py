"""Entries as a job file would give them, and the arithmetic of a pocket calculator."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any

from packet import words
from packet.codebook import Book
from packet.findings import finding
from packet.ledger import Check, Entry, Kind, Ledger, Verdict
from packet.plans.kinds import WORDS
from packet.quantities import MINUS, ConductorSize, TradeSize, quantity, round_shown
from packet.rules.ampacity import ConductorConditions
from packet.rules.conductor import CircuitDemand, circuit_load, minimum_conductor_ampacity
from packet.rules.overcurrent import minimum_overcurrent_rating, selected_overcurrent_rating
from packet.showing import show_in_full


def given(name: str, value: Any, unit: str | None = None) -> Entry:
    """Return a given value; with a unit it is a quantity."""
    return Entry(name, value if unit is None else quantity(str(value), unit), Kind.GIVEN)


def size(name: str, value: str) -> Entry:
    return given(name, ConductorSize.parse(value))


def trade_size(value: str) -> Entry:
    return given("route.1.trade_size", TradeSize.parse(value))


COPPER = given("circuit.material", "copper")
ALUMINUM = given("circuit.material", "aluminum")
METALS = (COPPER, ALUMINUM)
ONE_OUTLET = given("several_receptacles", False)
SEVERAL = given("several_receptacles", True)


def marks(*degrees: int | str | None) -> list[Entry | None]:
    """Return the temperature marks of the terminals, None where there is none."""
    return [
        None if mark is None else given(f"terminal.{number}.temperature", mark, "degC")
        for number, mark in enumerate(degrees, 1)
    ]


def conditions(
    method: str = "EMT",
    *,
    number: int = 1,
    ambient: Any = 30,
    together: int = 2,
    insulation: str | None = "THHN/THWN-2",
    above_roof: Any = None,
    length: Any = None,
    cables: int | None = None,
    sealed: bool | None = False,
    contact: bool | None = False,
) -> ConductorConditions:
    """Return one route part; in a cable the insulation is left out."""
    at = f"route.{number}."

    def maybe(name: str, value: Any, unit: str | None = None) -> Entry | None:
        return None if value is None else given(at + name, value, unit)

    cable = method in {"NM-B", "UF-B", "SER", "MC"}
    return ConductorConditions(
        number,
        given(at + "method", method),
        given(at + "ambient", ambient, "degC"),
        given(at + "current_carrying", together, "each"),
        insulation=None if cable else maybe("insulation", insulation),
        above_roof=maybe("above_roof", above_roof, "in"),
        bundled_length=maybe("bundled_length", length, "in"),
        cables_together=maybe("cables_together", cables, "each"),
        hole_sealed=maybe("hole_sealed", sealed),
        insulation_contact=maybe("insulation_contact", contact),
    )


def demand(
    book: Book,
    continuous: Any,
    other: Any = 0,
    rating: Any = None,
    several: Entry = ONE_OUTLET,
) -> CircuitDemand:
    """Return what a load asks of its conductors; the breaker is chosen unless it is given."""
    load = given("continuous_load", continuous, "A"), given("noncontinuous_load", other, "A")
    chosen = selected_overcurrent_rating(book, minimum_overcurrent_rating(book, *load))
    return CircuitDemand(
        circuit_load(book, *load),
        minimum_conductor_ampacity(book, *load),
        chosen if rating is None else given("overcurrent_rating", rating, "A"),
        several,
    )


GAP = re.compile(r"^\s|\s{2}|\s[.,;:)]|[(:,]\s*\.")
"""What a sentence looks like in which a value is missing."""


def with_equipment(name: str = "charger") -> Ledger:
    """Return a ledger that knows what the equipment is called and nothing else."""
    ledger = Ledger()
    for form in WORDS:
        label = words.word(f"equipment.{name}.{form}").label
        ledger.add(Entry(f"equipment.{form}", label, Kind.GIVEN))
    return ledger


def verdicts(checks: Iterable[Check]) -> dict[str, str]:
    """Return the verdicts by name, and make sure that each can be told in words, without gaps."""
    ledger = with_equipment()
    found = {}
    for check in checks:
        worded = finding(ledger.judge(check), ledger)
        assert worded.asks
        assert worded.says
        assert not GAP.search(worded.says), worded.says
        assert worded.who or check.verdict is not Verdict.ASK
        found[check.name] = check.verdict.value
    return found


def worded(check: Check) -> str:
    """Return one verdict, and make sure that it can be told in words."""
    return verdicts([check])[check.name]


def shown(check: Check) -> tuple[str, str, str, list[str]]:
    """Return the names of what the page shows of a check: both sides, remedy, further entries."""
    left, right, remedy = (
        one.name if one else "" for one in (check.left, check.right, check.remedy)
    )
    return left, right, remedy, [fact.name for fact in check.facts]


def amperes(entry: Entry) -> Decimal:
    return Decimal(entry.value.m_as("A"))


def all_behind(entries: Iterable[Entry]) -> Iterator[Entry]:
    """Yield entries and everything they rest on."""
    for entry in entries:
        yield entry
        yield from all_behind(source for _, source in entry.inputs)


def shown_number(entry: Entry) -> Decimal:
    """Return the number on the page, without its unit."""
    text = show_in_full(entry).split("\u00a0")[0]
    return Decimal(text.replace(",", "").replace(MINUS, "-"))


CALCULATOR = {
    "larger": max,
    "smaller": min,
    "sqrt": lambda number: Decimal(number).sqrt(),
}


def redone(entry: Entry) -> Decimal:
    """Do the printed formula again, with plain decimals, from the shown inputs."""
    numbers = {symbol: shown_number(source) for symbol, source in entry.inputs}
    code = compile(ast.parse(entry.formula, mode="eval"), entry.name, "eval")
    result = Decimal(eval(code, {"__builtins__": {}, **CALCULATOR}, numbers))  # noqa: S307
    of_percents = {words.word(source.name).unit for _, source in entry.inputs} == {"%"}
    return result * 100 if words.word(entry.name).unit == "%" and not of_percents else result


def not_redoable(entries: Sequence[Entry]) -> list[tuple[str, Decimal, Decimal]]:
    """Return the computed entries whose printed formula misses their printed value.

    Both are rounded as the glossary says; the last place may differ by one, since the
    inputs are rounded too.
    """
    missed = []
    for name, entry in {one.name: one for one in all_behind(entries) if one.formula}.items():
        word = words.word(name)
        again = round_shown(redone(entry), word.places, word.toward)
        if abs(again - shown_number(entry)) > Decimal(1).scaleb(-word.places):
            missed.append((name, again, shown_number(entry)))
    return missed
