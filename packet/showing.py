"""The one formatter: ledger entries, formulas and citations as printed text."""

from __future__ import annotations

import ast
import hashlib
import re
from collections.abc import Callable
from datetime import date
from typing import Any

from packet import words
from packet.language import ENGLISH, OwnWords, speaking
from packet.ledger import FUNCTIONS, Citation, Entry, Ledger
from packet.quantities import (
    NO_BREAK_SPACE,
    ConductorSize,
    Quantity,
    TradeSize,
    magnitude,
    show_number,
    with_unit,
)

_SIGNS = {ast.Add: "+", ast.Sub: "\u2212", ast.Mult: "\u00d7", ast.Div: "\u00f7"}
_ROOT = "\u221a"


def show(entry: Entry) -> str:
    """Return the value of `entry` as one works by it: number, no-break space, unit."""
    return show_value(entry.name, entry.value)


def show_in_full(entry: Entry) -> str:
    """Return the value of `entry` as it stands in a formula that is to be redone."""
    return show_value(entry.name, entry.value, in_full=True)


def show_value(name: str, value: Any, *, in_full: bool = False) -> str:
    """Return `value` printed as the glossary says for the ledger name `name`."""
    if isinstance(value, Quantity):
        word = words.word(name)
        number = magnitude(value, word.unit or "dimensionless")
        places = word.places if in_full else word.brief
        shown = show_number(number, places, word.toward, fixed=word.fixed)
        if word.unit == "d":
            return f"{shown}{NO_BREAK_SPACE}{words.unit_word(word.unit, shown)}"
        return with_unit(shown, word.unit)
    if isinstance(value, bool):
        return words.yes_or_no(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, ConductorSize | TradeSize):
        return str(value)
    return str(value) if isinstance(value, OwnWords) else words.term(str(value))


def show_citation(citation: Citation) -> str:
    """Return a citation as one line; a table and its number never break over a line."""
    section = _bound(citation.section)
    head = " ".join(part for part in (citation.document, citation.edition) if part)
    place = f"{head.replace(' ', NO_BREAK_SPACE)} {section}"
    return f"{place}, {citation.at}" if citation.at else place


def show_formula(entry: Entry) -> str:
    """Return the formula of a computed entry in its symbols, with printed signs."""
    return _printed(ast.parse(entry.formula, mode="eval").body, {})


def show_substituted(entry: Entry, mark: Callable[[Entry], str] = lambda _: "") -> str:
    """Return the formula with every symbol replaced by its shown value and the `mark` of it."""
    shown = {
        symbol: NO_BREAK_SPACE.join(filter(None, (show_in_full(source), mark(source))))
        for symbol, source in entry.inputs
    }
    return _printed(ast.parse(entry.formula, mode="eval").body, shown)


def _printed(node: ast.expr, values: dict[str, str]) -> str:
    match node:
        case ast.BinOp(left, ast.Pow(), right):
            base = _printed(left, values)
            if not isinstance(left, ast.Name) or " " in base or NO_BREAK_SPACE in base:
                base = f"({base})"
            return f"{base}{_raised(_printed(right, values))}"
        case ast.BinOp(left, sign, right):
            inner = [
                f"({text})"
                if isinstance(part, ast.BinOp) and _binds_less(part.op, sign, side)
                else text
                for side, part in enumerate((left, right))
                for text in [_printed(part, values)]
            ]
            return f"{inner[0]} {_SIGNS[type(sign)]} {inner[1]}"
        case ast.Call(ast.Name(name), arguments):
            listed = "; ".join(_printed(argument, values) for argument in arguments)
            called = _ROOT if name == "sqrt" else words.word(f"formula.{name}").label
            return f"{called}({listed})"
        case ast.UnaryOp(ast.USub(), operand):
            return f"\u2212{_printed(operand, values)}"
        case ast.Name(symbol):
            return values.get(
                symbol, symbol.replace("_", NO_BREAK_SPACE) if symbol in FUNCTIONS else symbol
            )
        case ast.Constant(number):
            return f"{number:,}" if isinstance(number, int) else str(number)
    raise ValueError(f"a formula holds {ast.dump(node)}, which has no printed form")


def _binds_less(inner: ast.operator, outer: ast.operator, side: int) -> bool:
    weight = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.Pow: 3}
    less = weight[type(inner)] < weight[type(outer)]
    same = weight[type(inner)] == weight[type(outer)]
    return less or (same and side == 1 and isinstance(outer, ast.Sub | ast.Div))


def _raised(exponent: str) -> str:
    return re.sub(
        r"[0-9]",
        lambda digit: "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079"[int(digit[0])],
        exponent,
    )


def _bound(section: str) -> str:
    """Bind a table's or an article's word to its number, so that no line ends between them."""
    return re.sub(r"\b(Table|Article|Part|Chapter|Annex|Example) ", rf"\1{NO_BREAK_SPACE}", section)


def show_section(citation: Citation) -> str:
    """Return a citation on a sheet whose head names code and edition: the section alone."""
    if citation.document != "NEC":
        return show_citation(citation)
    section = _bound(citation.section)
    return f"{section}, {citation.at}" if citation.at else section


def show_source(entry: Entry) -> str:
    """Return what `entry` rests on as one line: the line of the job file, or its citations."""
    if entry.span is not None:
        return words.word(f"source.{entry.kind.value}").label.format(line=entry.span.line)
    return "; ".join(dict.fromkeys(show_section(citation) for citation in entry.cite))


def stamp(*ledgers: Ledger) -> str:
    """Return the short check code of everything the ledgers would print.

    It changes when and only when a shown value, a formula, a verdict or what a numbered row is
    about changes; it is the same in every language.
    """
    with speaking(ENGLISH):
        lines = [
            f"{entry.name}={show_in_full(entry)}|{entry.formula}"
            for one in ledgers
            for entry in one
        ]
    for one in ledgers:
        lines += [f"{check.name}={check.verdict.value}" for check in one.checks.values()]
        lines += one.rows
    code = hashlib.sha256("\n".join(lines).encode()).hexdigest().upper()
    return f"{code[:4]}-{code[4:6]}"
