"""The ledger: every value with its formula, inputs and citation; every check with both sides.

An :class:`Entry` is a value that can be defended; a :class:`Check` is a question an
inspector would ask, answered. The :class:`Ledger` only grows.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from enum import Enum
from functools import cache
from types import CodeType
from typing import Any

from packet import words
from packet.problems import Span
from packet.quantities import Quantity, in_unit, magnitude, quantity


class Kind(Enum):
    """Where a value comes from."""

    GIVEN = "given"
    LABEL = "label"
    FIGURE = "figure"
    COMPUTED = "computed"
    CHOSEN = "chosen"


class Verdict(Enum):
    """How a check ends."""

    MEETS = "meets"
    FALLS_SHORT = "falls short"
    ASK = "ask"
    NOTE = "note"


@dataclass(frozen=True)
class Citation:
    """A place in a published document, and how we know what stands there.

    `confirmed` is ``FOUND`` or ``MEMORY``; `at` names the row and column of a table.
    """

    document: str
    edition: str
    section: str
    confirmed: str
    at: str = ""


@dataclass(frozen=True)
class Entry:
    """One value: what it is called, what it is, and what it rests on.

    Parameters
    ----------
    name : str
        Key in the glossary; dotted numbers mark repeated things.
    value : Quantity, ConductorSize, TradeSize, str, bool, date
        Never a bare number.
    kind : Kind
    cite : tuple of Citation
        The figures' or the rule's places; empty only for given values.
    formula : str
        The expression that made the value, in the symbols of `inputs`.
    inputs : tuple of (symbol, Entry)
        What the value was made from. A chosen value lists what limited the choice.
    span : Span, optional
        Where a given value stands in the job file.
    """

    name: str
    value: Any
    kind: Kind
    cite: tuple[Citation, ...] = ()
    formula: str = ""
    inputs: tuple[tuple[str, Entry], ...] = ()
    span: Span | None = None

    def __post_init__(self) -> None:
        words.word(self.name)
        if self.kind is not Kind.GIVEN and self.kind is not Kind.LABEL and not self.cite:
            raise ValueError(f"`{self.name}` has no citation")


@dataclass(frozen=True)
class Check:
    """One question with its answer.

    `left op right` is what was compared, where the question is a comparison.
    `remedy` is the value that would put a shortfall right; `facts` are further
    entries that the wording mentions, by name.
    """

    name: str
    verdict: Verdict
    cite: tuple[Citation, ...]
    left: Entry | None = None
    op: str = ""
    right: Entry | None = None
    remedy: Entry | None = None
    facts: tuple[Entry, ...] = ()


@dataclass
class Ledger:
    """All entries and checks of one job, in the order they were made.

    `rows` says what each numbered row of the sheets to fill in is about.
    """

    entries: dict[str, Entry] = field(default_factory=dict)
    checks: dict[str, Check] = field(default_factory=dict)
    rows: list[str] = field(default_factory=list)

    def add(self, entry: Entry) -> Entry:
        """Enter `entry` and everything it rests on; give it back.

        Raises
        ------
        ValueError
            When one name would stand for two values.
        """
        if self.entries.get(entry.name) is entry:
            return entry
        for _, source in entry.inputs:
            self.add(source)
        known = self.entries.setdefault(entry.name, entry)
        if known is not entry and known != entry:
            raise ValueError(f"`{entry.name}` has two values in one ledger")
        return known

    def judge(self, check: Check) -> Check:
        """Enter `check` and the entries it compares; give it back."""
        for entry in (check.left, check.right, check.remedy, *check.facts):
            if entry is not None:
                self.add(entry)
        if check.name in self.checks and self.checks[check.name] != check:
            raise ValueError(f"`{check.name}` has two answers in one ledger")
        self.checks[check.name] = check
        return check

    def __getitem__(self, name: str) -> Entry:
        return self.entries[name]

    def __contains__(self, name: str) -> bool:
        return name in self.entries

    def __iter__(self) -> Iterator[Entry]:
        return iter(self.entries.values())

    def get(self, name: str) -> Entry | None:
        """Return the entry called `name`, or None."""
        return self.entries.get(name)

    def having(self, verdict: Verdict) -> list[Check]:
        """Return the checks that ended as `verdict`, in order."""
        return [check for check in self.checks.values() if check.verdict is verdict]

    @property
    def verdict(self) -> Verdict:
        """The packet as a whole: falls short, ask, or meets."""
        for worst in (Verdict.FALLS_SHORT, Verdict.ASK):
            if self.having(worst):
                return worst
        return Verdict.MEETS


def computed(
    name: str, formula: str, cite: tuple[Citation, ...] | Citation, /, **inputs: Entry
) -> Entry:
    """Evaluate `formula` over `inputs`; the printed formula is the arithmetic done.

    Parameters
    ----------
    name : str
        Glossary name of the result; the glossary gives its unit.
    formula : str
        ``+ - * / **`` and the functions of :data:`FUNCTIONS`, over symbols.
    cite : Citation or tuple of Citation
        The rule that asks for this arithmetic.
    **inputs : Entry
        One entry for each symbol of the formula.

    Raises
    ------
    ValueError
        When a symbol has no entry, or an entry no symbol.
    pint.DimensionalityError
        When units do not agree.
    """
    code, symbols = _compiled(formula)
    if symbols != frozenset(inputs):
        raise ValueError(f"`{name}`: symbols of `{formula}` are not its inputs {sorted(inputs)}")
    values = {symbol: entry.value for symbol, entry in inputs.items()}
    value = eval(code, {"__builtins__": {}, **FUNCTIONS}, values)  # noqa: S307 - our own text
    if not isinstance(value, Quantity):
        value = quantity(value)
    unit = words.word(name).unit
    return Entry(
        name,
        in_unit(value, unit or "dimensionless"),
        Kind.COMPUTED,
        cite if isinstance(cite, tuple) else (cite,),
        formula,
        tuple(inputs.items()),
    )


def total(
    name: str, cite: tuple[Citation, ...] | Citation, symbol: str, parts: list[Entry]
) -> Entry:
    """Return the sum of `parts` as a computed entry; the sum of nothing is zero."""
    symbols = {f"{symbol}{number}": part for number, part in enumerate(parts, 1)}
    if not symbols:
        nothing = quantity(0, words.word(name).unit)
        return Entry(name, nothing, Kind.COMPUTED, cite if isinstance(cite, tuple) else (cite,))
    return computed(name, " + ".join(symbols), cite, **symbols)


def chosen(
    name: str, value: Any, cite: tuple[Citation, ...] | Citation, /, **limits: Entry
) -> Entry:
    """Return a choice from a list, with the entries that limited it."""
    return Entry(
        name,
        value,
        Kind.CHOSEN,
        cite if isinstance(cite, tuple) else (cite,),
        inputs=tuple(limits.items()),
    )


def compare(
    name: str,
    left: Entry,
    op: str,
    right: Entry,
    cite: tuple[Citation, ...] | Citation,
    *,
    otherwise: Verdict = Verdict.FALLS_SHORT,
    remedy: Entry | None = None,
    facts: tuple[Entry, ...] = (),
) -> Check:
    """Judge `left op right`; `otherwise` is the verdict when it does not hold."""
    holds = COMPARISONS[op](left.value, right.value)
    return Check(
        name,
        Verdict.MEETS if holds else otherwise,
        cite if isinstance(cite, tuple) else (cite,),
        left,
        op,
        right,
        None if holds else remedy,
        facts,
    )


COMPARISONS: dict[str, Callable[[Any, Any], bool]] = {
    ">=": lambda left, right: bool(left >= right),
    "<=": lambda left, right: bool(left <= right),
    "=": lambda left, right: bool(left == right),
}


def _rounded(mode: str) -> Callable[[Any], Any]:
    def apply(value: Any) -> Any:
        number = value if isinstance(value, Quantity) else quantity(value)
        if number.dimensionless:
            number = number.to("dimensionless")  # metres by feet is a plain number, not m/ft
        return Quantity(number.magnitude.to_integral_value(rounding=mode), number.units)

    return apply


def _root(value: Any) -> Any:
    number = value if isinstance(value, Quantity) else quantity(value)
    return Quantity(number.magnitude.sqrt(), number.units ** Decimal("0.5"))


FUNCTIONS: dict[str, Callable[..., Any]] = {
    "larger": max,
    "smaller": min,
    "round_up": _rounded(ROUND_CEILING),
    "round_down": _rounded(ROUND_FLOOR),
    "round_half_up": _rounded(ROUND_HALF_UP),
    "sqrt": _root,
}
"""What a formula may call, beside the arithmetic signs."""


class _DecimalNumbers(ast.NodeTransformer):
    """Numbers written in a formula are exact decimals."""

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        if isinstance(node.value, float):
            raise ValueError("a figure stands in a formula; it belongs in the code book")
        return node


@cache
def _compiled(formula: str) -> tuple[CodeType, frozenset[str]]:
    tree = _DecimalNumbers().visit(ast.parse(formula, mode="eval"))
    symbols = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)} - FUNCTIONS.keys()
    return compile(ast.fix_missing_locations(tree), formula, "eval"), frozenset(symbols)


def decimal_of(entry: Entry) -> Decimal:
    """Return the bare magnitude of an entry, in the glossary's unit."""
    unit = words.word(entry.name).unit
    return magnitude(entry.value, unit or "dimensionless")
