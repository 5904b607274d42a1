"""Change the rules in small ways, one at a time, and report each change that no test notices.

`python .ci/mutate.py` takes every rule of the core; `python .ci/mutate.py box load/cooking`
takes those subjects; `--every 10` takes each tenth change of every module. It is slow, and no
part of `.ci/run`. The end status is 0 when every survivor stands in `mutants-equivalent.txt`,
with the reason why no test can tell it from the rule.

The arithmetic of the rules lies in formula texts, so those are changed as well as the Python:
signs, symbols, factors, rounding. All of it happens in memory: a warm process holds the tests,
and a fork of it takes one change and runs the tests that reach the changed lines.

Left alone, because no value of the core hangs on them or because they fail by design: docstrings,
annotations, decorators, messages of errors, names of figures, tables and glossary entries, which
place is cited, the inputs that a choice from a list shows, formulas that stay the same function
(`a + b` for `b + a`, tried with numbers), tests of `isinstance`, and `strict` of `zip`.
"""

from __future__ import annotations

import argparse
import ast
import builtins
import copy
import enum
import gc
import importlib
import inspect
import json
import math
import os
import random
import re
import resource
import select
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import _lru_cache_wrapper
from itertools import accumulate
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol

ROOT = Path(__file__).resolve().parents[1]
TESTS = ("tests/rules", "tests/core", "tests/worked_examples", "tests/codebook")
EQUIVALENT = ROOT / ".ci" / "mutants-equivalent.txt"

LEDGER_PARTS = {"computed", "total", "compare", "COMPARISONS", "FUNCTIONS", "_rounded", "_root"}
QUANTITY_PARTS = {
    "round_shown",
    "show_number",
    "magnitude",
    "ConductorSize.rank",
    "ConductorSize.__lt__",
    "_size_rank",
    "TradeSize.inches",
    "TradeSize.__lt__",
}
"""Of the ledger and the quantities only what works out, compares or rounds."""

CONTROL = ("packet/rules/overcurrent.py", "k_c * I_c + I_n", "k_c * I_c - I_n")
"""A gross change of a formula that the tests must notice, or else the run is worth nothing."""

CONTROL_TEST = "tests/rules/test_overcurrent.py"

OTHER_ORDER = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
OPPOSITE = {
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
SIGNS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
SIGN_TEXT = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.Pow: ("**", "*"),
}
NAMES = {
    "min": "max",
    "max": "min",
    "any": "all",
    "all": "any",
    "ROUND_CEILING": "ROUND_FLOOR",
    "ROUND_FLOOR": "ROUND_CEILING",
    "ROUND_HALF_UP": "ROUND_FLOOR",
}
FORMULA_NAMES = {
    "larger": "smaller",
    "smaller": "larger",
    "round_up": "round_down",
    "round_down": "round_up",
    "round_half_up": "round_up",
}
MEMBERS = {
    "Verdict": {"MEETS": "FALLS_SHORT", "FALLS_SHORT": "ASK", "ASK": "MEETS", "NOTE": "MEETS"},
    "Need": {"YES": "ASK", "ASK": "NO", "NO": "YES"},
}
FLOATS: dict[str, Callable[..., float]] = {
    "larger": lambda *numbers: max(numbers) + (len(numbers) == 1),
    "smaller": lambda *numbers: min(numbers),
    "round_up": math.ceil,
    "round_down": math.floor,
    "round_half_up": lambda number: math.floor(number + 0.5),
    "sqrt": lambda number: abs(number) ** 0.5,
}
"""A formula's functions on plain numbers; one argument is a list still to be filled in."""

FORMULA = re.compile(rf"[\w)] (?:[-+/]|\*\*?) [\w(]|^(?:{'|'.join(FLOATS)})\(")
HOLE = "HOLE{}E"
NAMED_FIRST = {"figure", "cite", "table", "has", "knows", "entry", "word", "named", "in_column"}
ANY_ORDER = {"min", "max", "where", "row", "zip"}
DOCUMENTARY = {"chosen", "computed", "total", "Entry", "isinstance", "cite", "getattr"}


@dataclass(frozen=True)
class Mutant:
    """One change: where it is, how it reads, and how the tree takes it."""

    module: str
    place: str
    line: int
    lines: frozenset[int]
    before: str
    after: str
    apply: Callable[[], None]
    inside: bool
    repeat: int = 1

    @property
    def label(self) -> str:
        """How reports and the list of equivalent mutants name it, whatever its line."""
        again = f" #{self.repeat}" if self.repeat > 1 else ""
        return f"{self.module} {self.place}: {self.before} -> {self.after}{again}"


# --- what can change in a formula -----------------------------------------------------------------


def formula_variants(text: str) -> Iterator[str]:
    """Yield the changed formulas that are not the same function as `text`."""
    seen = {_sampled(text)}
    for variant in _formula_edits(text):
        sample = _sampled(variant)
        if sample not in seen:
            seen.add(sample)
            yield variant


def _formula_edits(text: str) -> Iterator[str]:
    tree = ast.parse(text, mode="eval")

    def part(node: ast.expr) -> str:
        return f"({text[node.col_offset : node.end_col_offset]})"

    def with_part(node: ast.expr, new: str) -> str:
        return text[: node.col_offset] + new + text[node.end_col_offset :]

    names = sorted({n.id for n in ast.walk(tree) if isinstance(n, ast.Name)} - FLOATS.keys())
    for node in ast.walk(tree):
        if isinstance(node, ast.BinOp):
            sign, other = SIGN_TEXT[type(node.op)]
            at = text.index(sign, node.left.end_col_offset)
            yield text[:at] + other + text[at + len(sign) :]
            yield with_part(node, part(node.left))
            yield with_part(node, part(node.right))
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id in FORMULA_NAMES:
                yield with_part(node.func, FORMULA_NAMES[node.func.id])
            for argument in node.args:
                yield with_part(node, part(argument))
        elif isinstance(node, ast.Constant):
            yield with_part(node, str(node.value + 1))
    for first, left in enumerate(names):
        for right in names[first + 1 :]:
            pair = {left: right, right: left}
            pattern = rf"\b({re.escape(left)}|{re.escape(right)})\b"
            yield re.sub(pattern, lambda match, pair=pair: pair[match[0]], text)


def _sampled(text: str) -> tuple[float, ...]:
    """Values of the formula at fixed random points: equal tuples are equal functions."""
    code = compile(text, "formula", "eval")
    values = []
    for seed in range(8):
        # A symbol's value hangs on its name alone, so that both formulas see the same one.
        symbols = {
            name: random.Random(f"{seed}{name}").uniform(0.5, 9.5)  # noqa: S311 - no secret
            for name in code.co_names
            if name not in FLOATS
        }
        with suppress(ZeroDivisionError):
            value = eval(code, {"__builtins__": {}, **FLOATS}, symbols)  # noqa: S307 - our text
            values.append(float(f"{value:.9g}"))
    return tuple(values)


def text_with_holes(node: ast.expr) -> str | None:
    """Return the text of a string or f-string, with a symbol for each value put in."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if not isinstance(node, ast.JoinedStr):
        return None
    return "".join(
        part.value if isinstance(part, ast.Constant) else HOLE.format(number)
        for number, part in enumerate(node.values)
    )


def text_without_holes(node: ast.expr, text: str) -> ast.expr:
    """Turn `text` back into a string, or into an f-string with the values of `node`."""
    if isinstance(node, ast.Constant):
        return ast.Constant(text)
    assert isinstance(node, ast.JoinedStr)  # noqa: S101 - text_with_holes takes no other
    pieces = re.split(HOLE.format(r"(\d+)"), text)
    return ast.JoinedStr(
        [
            node.values[int(piece)] if number % 2 else ast.Constant(piece)
            for number, piece in enumerate(pieces)
            if piece
        ]
    )


# --- what can change in Python --------------------------------------------------------------------


class Finder:
    """Collects the mutants of one module, in the order of its text."""

    def __init__(self, name: str, parts: set[str] | None) -> None:
        self.name = name
        self.path = ROOT / f"{name}.py"
        self.live = importlib.import_module(name.replace("/", "."))
        self.tree = ast.parse(self.path.read_text(encoding="utf-8"))
        self.parts = parts
        self.found: list[Mutant] = []
        self.labels: Counter[str] = Counter()
        self.place: list[str] = []
        self.lines: frozenset[int] = frozenset()
        self.inside = False
        self.returns = ""
        self.names: set[int] = set()
        self.forced: set[int] = set()
        self._block(self.tree, "body")

    def _block(self, owner: ast.AST, field: str) -> None:
        body = getattr(owner, field)
        for index, statement in enumerate(body):
            self._statement(statement, body, index)

    def _statement(self, node: ast.stmt, body: list[ast.stmt], index: int) -> None:
        if isinstance(node, ast.ClassDef | ast.FunctionDef):
            self._definition(node)
            return
        if isinstance(node, ast.Import | ast.ImportFrom | ast.Raise) or _is_text(node):
            return
        if isinstance(node, ast.Assign) and ast.unparse(node.value).startswith("Literal["):
            return
        blocks = [field for field in ("body", "orelse", "finalbody") if hasattr(node, field)]
        if self.place and self.inside:
            last = node.end_lineno or node.lineno
            if isinstance(node, ast.If | ast.For | ast.While | ast.With):
                last = max(node.lineno, node.body[0].lineno - 1)
            self.lines = frozenset(range(node.lineno, last + 1))
        else:
            self.lines = frozenset()
        named = isinstance(node, ast.Assign) and not self.place
        if named:
            self.place.append(ast.unparse(node.targets[0]))
        elif isinstance(node, ast.AnnAssign) and not self.place:
            named = True
            self.place.append(ast.unparse(node.target))
        if self._wanted():
            self._statement_itself(node, body, index)
            for field, value in ast.iter_fields(node):
                if field not in {*blocks, "annotation", "target", "targets"}:
                    self._expressions(node, field, value)
        if named:
            self.place.pop()
        for field in blocks:
            self._block(node, field)

    def _definition(self, node: ast.ClassDef | ast.FunctionDef) -> None:
        enumeration = isinstance(node, ast.ClassDef) and any(
            isinstance(base, ast.Name) and base.id == "Enum" for base in node.bases
        )
        if enumeration:
            return
        outer = self.place, self.inside, self.returns
        self.place = [*self.place, node.name]
        if isinstance(node, ast.FunctionDef):
            self.lines = frozenset(range(node.lineno, (node.end_lineno or 0) + 1))
            if self._wanted():
                self._expressions(node.args, "defaults", node.args.defaults)
                self._expressions(node.args, "kw_defaults", node.args.kw_defaults)
            self.inside = True
            self.returns = ast.unparse(node.returns) if node.returns else ""
        self._block(node, "body")
        self.place, self.inside, self.returns = outer

    def _wanted(self) -> bool:
        return self.parts is None or any(
            ".".join(self.place[: end + 1]) in self.parts for end in range(len(self.place))
        )

    def _add(self, before: ast.AST | str, after: ast.AST | str, apply: Callable[[], None]) -> None:
        texts = [
            " ".join(side.split()) if isinstance(side, str) else ast.unparse(side)
            for side in (before, after)
        ]
        if texts[0] == texts[1]:
            return
        line = min(self.lines, default=0)
        mutant = Mutant(
            f"{self.name}.py",
            ".".join(self.place),
            getattr(before, "lineno", line),
            self.lines,
            *texts,
            apply,
            self.inside,
        )
        self.labels[mutant.label] += 1
        self.found.append(replace(mutant, repeat=self.labels[mutant.label]))

    def _put(
        self, owner: Any, field: str | int, old: ast.AST, new: ast.AST, says: str = ""
    ) -> None:
        ast.copy_location(new, old)

        def apply() -> None:
            if isinstance(field, int):
                owner[field] = new
            else:
                setattr(owner, field, new)

        if says and isinstance(old, ast.Call):
            first = ast.unparse(old.args[0]) if old.args else ""
            self._add(f"{ast.unparse(old.func)}({first} ...)", says, apply)
        else:
            self._add(old, new, apply)

    def _statement_itself(self, node: ast.stmt, body: list[ast.stmt], index: int) -> None:
        call = isinstance(node, ast.Expr) and isinstance(node.value, ast.Call | ast.Yield)
        if call or isinstance(node, ast.AugAssign | ast.Continue | ast.Break):
            self._put(body, index, node, ast.Pass())
        if isinstance(node, ast.AugAssign) and type(node.op) in SIGNS:
            self._put(node, "op", node.op, SIGNS[type(node.op)]())
        if isinstance(node, ast.If | ast.While):
            self._forced(node, "test", node.test)
        if isinstance(node, ast.Return) and node.value is not None:
            self._returned(node, node.value)

    def _returned(self, node: ast.Return, value: ast.expr) -> None:
        if self.returns == "bool" and not isinstance(value, ast.Compare | ast.BoolOp):
            self._put(node, "value", value, ast.UnaryOp(ast.Not(), value))
        if "| None" in self.returns and not _is_none(value):
            self._put(node, "value", value, ast.Constant(None))
        several = self.returns.startswith(("tuple[Check", "list[", "tuple[Entry"))
        if several and not isinstance(value, ast.Tuple | ast.List):
            one_less = ast.Slice(None, ast.UnaryOp(ast.USub(), ast.Constant(1)))
            self._put(node, "value", value, ast.Subscript(value, one_less, ast.Load()))

    def _forced(self, owner: Any, field: str | int, test: ast.expr) -> None:
        self.forced.add(id(test))
        for outcome in (True, False):
            self._put(owner, field, test, ast.Constant(outcome))

    def _expressions(self, owner: Any, field: str | int, value: Any) -> None:
        if isinstance(value, list):
            for index, item in enumerate(value):
                self._expressions(value, index, item)
        elif isinstance(value, ast.AST):
            if isinstance(value, ast.expr):
                self._expression(owner, field, value)
            text = text_with_holes(value) if isinstance(value, ast.expr) else None
            if text is None or not FORMULA.search(text):
                for name, child in ast.iter_fields(value):
                    if name not in {"ctx", "annotation"}:
                        self._expressions(value, name, child)

    def _expression(self, owner: Any, field: str | int, node: ast.expr) -> None:
        text = text_with_holes(node)
        if text is not None:
            self._text(owner, field, node, text)
        change = getattr(self, f"_of_{type(node).__name__.lower()}", None)
        if change:
            change(owner, field, node)

    def _text(self, owner: Any, field: str | int, node: ast.expr, text: str) -> None:
        if id(node) in self.names:
            return
        if FORMULA.search(text) or (text == "1" and isinstance(node, ast.Constant)):
            for variant in formula_variants(text):
                new = ast.copy_location(text_without_holes(node, variant), node)
                self._put(owner, field, node, ast.fix_missing_locations(new))
        elif text == " + ":
            self._put(owner, field, node, ast.Constant(" - "))

    def _of_compare(self, owner: Any, field: str | int, node: ast.Compare) -> None:
        for index, operator in enumerate(node.ops):
            if type(operator) in OTHER_ORDER:
                self._operator(owner, field, node, index, OTHER_ORDER[type(operator)])
            if id(node) not in self.forced:
                self._operator(owner, field, node, index, OPPOSITE[type(operator)])

    def _operator(
        self, owner: Any, field: str | int, node: ast.Compare, index: int, operator: type[ast.cmpop]
    ) -> None:
        operators = [operator() if at == index else op for at, op in enumerate(node.ops)]
        self._put(owner, field, node, ast.Compare(node.left, operators, node.comparators))

    def _of_boolop(self, owner: Any, field: str | int, node: ast.BoolOp) -> None:
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        self._put(owner, field, node, ast.BoolOp(other, node.values))
        for index in range(len(node.values)):
            rest = node.values[:index] + node.values[index + 1 :]
            alone = rest[0] if len(rest) == 1 else ast.BoolOp(node.op, rest)
            self._put(owner, field, node, copy.copy(alone))

    def _of_unaryop(self, owner: Any, field: str | int, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.Not | ast.USub) and id(node) not in self.forced:
            self._put(owner, field, node, copy.copy(node.operand))

    def _of_ifexp(self, owner: Any, field: str | int, node: ast.IfExp) -> None:
        if not ast.unparse(node.test).startswith("isinstance"):
            self.forced.add(id(node.test))
            self._put(owner, field, node, copy.copy(node.body))
            self._put(owner, field, node, copy.copy(node.orelse))

    def _of_binop(self, owner: Any, field: str | int, node: ast.BinOp) -> None:
        sides = (node.left, node.right)
        if any(text_with_holes(side) is not None for side in sides):
            return
        lists = any(isinstance(side, ast.List | ast.Tuple) for side in sides)
        if type(node.op) in SIGNS and not lists:
            new = SIGNS[type(node.op)]()
            self._put(owner, field, node, ast.BinOp(node.left, new, node.right))
        if isinstance(node.op, ast.BitOr | ast.Add):
            self._put(owner, field, node, copy.copy(node.left))
            self._put(owner, field, node, copy.copy(node.right))

    def _of_constant(self, owner: Any, field: str | int, node: ast.Constant) -> None:
        if isinstance(node.value, bool) and id(node) not in self.names:
            self._put(owner, field, node, ast.Constant(not node.value))
        elif isinstance(node.value, int) and not isinstance(node.value, bool):
            self._put(owner, field, node, ast.Constant(node.value + 1))

    def _of_name(self, owner: Any, field: str | int, node: ast.Name) -> None:
        if node.id in NAMES:
            self._put(owner, field, node, ast.Name(NAMES[node.id], ast.Load()))

    def _of_attribute(self, owner: Any, field: str | int, node: ast.Attribute) -> None:
        if isinstance(node.value, ast.Name) and node.value.id in MEMBERS:
            member = MEMBERS[node.value.id].get(node.attr)
            if member:
                self._put(owner, field, node, ast.Attribute(node.value, member, ast.Load()))

    def _of_comprehension(self, node: ast.comprehension) -> None:
        for index, test in enumerate(node.ifs):
            self._forced(node.ifs, index, test)

    def _of_listcomp(self, owner: Any, field: str | int, node: Any) -> None:
        del owner, field
        for part in node.generators:
            self._of_comprehension(part)

    _of_setcomp = _of_dictcomp = _of_generatorexp = _of_listcomp

    def _of_list(self, owner: Any, field: str | int, node: Any) -> None:
        if len(node.elts) > 1 or isinstance(node, ast.List | ast.Set):
            for index, element in enumerate(node.elts):
                if "cite" not in ast.unparse(element) and self._may_go(node):
                    rest = node.elts[:index] + node.elts[index + 1 :]
                    new = ast.Call(ast.Name("set", ast.Load()), [], [])
                    if rest or not isinstance(node, ast.Set):
                        new = copy.copy(node)
                        new.elts = rest
                    self._put(owner, field, node, new)

    _of_set = _of_tuple = _of_list

    def _may_go(self, node: ast.expr) -> bool:
        """Tell tuples of checks or of words from those that are unpacked elsewhere."""
        checks = self.returns.startswith(("tuple[Check", "tuple[Entry", "list["))
        return not isinstance(node, ast.Tuple) or not self.inside or checks

    def _of_dict(self, owner: Any, field: str | int, node: ast.Dict) -> None:
        if self.inside:
            return
        for index in range(len(node.keys)):
            new = copy.copy(node)
            new.keys = node.keys[:index] + node.keys[index + 1 :]
            new.values = node.values[:index] + node.values[index + 1 :]
            self._put(owner, field, node, new)

    def _of_call(self, owner: Any, field: str | int, node: ast.Call) -> None:
        name = ast.unparse(node.func).rpartition(".")[2]
        if name in NAMED_FIRST or isinstance(node.func, ast.Name):
            self.names |= {id(one) for one in node.args[:1]}
        self.names |= {id(one.value) for one in node.keywords if one.arg == "strict"}
        if name == "compare":
            self._of_check(owner, field, node)
        if name == "reversed":
            self._put(owner, field, node, copy.copy(node.args[0]))
        if name in DOCUMENTARY:
            return
        if name not in ANY_ORDER:
            self._swapped(owner, field, node)
        self._left_out(owner, field, node)

    def _of_check(self, owner: Any, field: str | int, node: ast.Call) -> None:
        operator = node.args[2]
        if not isinstance(operator, ast.Constant):
            return
        others = {"<=": [">="], ">=": ["<="], "=": ["<=", ">="]}[operator.value]
        for other in others:
            args = [*node.args[:2], ast.Constant(other), *node.args[3:]]
            new = ast.Call(node.func, args, node.keywords)
            self._put(owner, field, node, new, f"{operator.value} as {other}")
        if operator.value != "=":
            strict = ast.copy_location(ast.Name("compare_strictly", ast.Load()), node)
            new = ast.Call(strict, node.args, node.keywords)
            self._put(owner, field, node, new, f"{operator.value} as {operator.value[0]}")

    def _swapped(self, owner: Any, field: str | int, node: ast.Call) -> None:
        """Exchange two neighbours among the arguments, where both are plain names."""
        plain = (ast.Name, ast.Attribute)
        for index in range(len(node.args) - 1):
            pair = node.args[index : index + 2]
            texts = [ast.unparse(one) for one in pair]
            fixed = texts[0] == texts[1] or any(t.endswith(("book", "cite")) for t in texts)
            if not fixed and all(isinstance(one, plain) for one in pair):
                args = [*node.args[:index], *reversed(pair), *node.args[index + 2 :]]
                new = ast.Call(node.func, args, node.keywords)
                self._put(owner, field, node, new, f"exchanges {' and '.join(texts)}")
        for index in range(len(node.keywords) - 1):
            one, two = node.keywords[index : index + 2]
            if (
                one.arg
                and two.arg
                and isinstance(one.value, plain)
                and isinstance(two.value, plain)
            ):
                keywords = list(node.keywords)
                keywords[index] = ast.keyword(one.arg, two.value)
                keywords[index + 1] = ast.keyword(two.arg, one.value)
                new = ast.Call(node.func, node.args, keywords)
                self._put(owner, field, node, new, f"exchanges {one.arg} and {two.arg}")

    def _left_out(self, owner: Any, field: str | int, node: ast.Call) -> None:
        """Leave out an argument that the called function has a default for."""
        called = getattr(self.live, node.func.id, None) if isinstance(node.func, ast.Name) else None
        if not (inspect.isfunction(called) or inspect.isclass(called)):
            return
        try:
            parameters = inspect.signature(called).parameters
        except ValueError:
            return
        optional = [one.default is not inspect.Parameter.empty for one in parameters.values()]
        for index, keyword in enumerate(node.keywords):
            if keyword.arg in parameters and optional[list(parameters).index(keyword.arg)]:
                self.names.add(id(keyword.value))  # the other truth is what the default is
                rest = node.keywords[:index] + node.keywords[index + 1 :]
                new = ast.Call(node.func, node.args, rest)
                self._put(owner, field, node, new, f"without {ast.unparse(keyword)}")
        starred = any(isinstance(one, ast.Starred) for one in node.args)
        last = len(node.args) - 1
        if node.args and not starred and len(optional) > last and optional[last]:
            new = ast.Call(node.func, node.args[:-1], node.keywords)
            self._put(owner, field, node, new, f"without {ast.unparse(node.args[-1])}")


def _is_text(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


# --- a change in the running process --------------------------------------------------------------


def take(finder: Finder, mutant: Mutant) -> None:
    """Apply the mutant to the live module. Only ever in a fork."""
    builtins.compare_strictly = compare_strictly  # type: ignore[attr-defined]
    mutant.apply()
    put_in(finder, everything=not mutant.inside or finder.name == "packet/ledger")
    if finder.name == "packet/quantities":
        forget_caches()
    elif mutant.before.startswith("'") or mutant.before.startswith("f'"):
        allow_idle_inputs()


def put_in(finder: Finder, *, everything: bool) -> None:
    """Give the live functions the code of the tree; with `everything`, its constants too."""
    tree = ast.fix_missing_locations(finder.tree)
    code = compile(tree, str(finder.path), "exec")
    live = vars(finder.live)
    if everything and finder.name == "packet/quantities":  # a second registry would be no help
        functions = [one for one in tree.body if isinstance(one, ast.FunctionDef)]
        fresh = dict(live)
        exec(compile(ast.Module(functions, []), str(finder.path), "exec"), fresh)  # noqa: S102
        for one in functions:
            _graft(finder.live, one.name, live[one.name], fresh[one.name])
    elif everything:
        names = {"__name__": finder.live.__name__, "__package__": finder.live.__package__}
        fresh = {**names, "__file__": str(finder.path)}
        exec(code, fresh)  # noqa: S102 - our own module
        for name, new in fresh.items():
            if name not in {"__builtins__", *names, "annotations"}:
                _graft(finder.live, name, live[name], new)
    for function in list(_functions(finder.live)):
        new_code = _code_called(code, function.__code__.co_qualname)
        if new_code is not None and function.__code__.co_filename == str(finder.path):
            function.__code__ = new_code


def _functions(module: ModuleType) -> Iterator[FunctionType]:
    for one in vars(module).values():
        members = list(vars(one).values()) if isinstance(one, type) else [one]
        if isinstance(one, type) and one.__module__ != module.__name__:
            continue
        for member in members:
            function = _bare(member)
            if isinstance(function, FunctionType) and function.__module__ == module.__name__:
                yield function


def _bare(member: Any) -> Any:
    if isinstance(member, property):
        return member.fget
    if isinstance(member, classmethod | staticmethod):
        return member.__func__
    if isinstance(member, _lru_cache_wrapper):
        member.cache_clear()
        return member.__wrapped__
    return member


def _code_called(code: CodeType, name: str) -> CodeType | None:
    for one in code.co_consts:
        if isinstance(one, CodeType):
            found = one if one.co_qualname == name else _code_called(one, name)
            if found:
                return found
    return None


def _graft(module: ModuleType, name: str, old: Any, new: Any) -> None:
    if isinstance(_bare(old), FunctionType):
        _graft_defaults(module, _bare(old), _bare(new))
    elif isinstance(old, type) and not issubclass(old, enum.Enum):
        if old.__module__ == module.__name__:
            for key, member in vars(new).items():
                _graft_member(module, old, key, member)
    elif not isinstance(old, type | ModuleType) and old is not new and old != new:
        for other in list(sys.modules.values()):
            if vars(other).get(name) is old:
                setattr(other, name, new)


def _graft_defaults(module: ModuleType, old: FunctionType, new: FunctionType) -> None:
    def kept(value: Any) -> Any:
        """Return the default; a member of an enumeration is the live module's own."""
        if not isinstance(value, enum.Enum):
            return value
        return vars(module).get(type(value).__name__, type(value))[value.name]

    old.__defaults__ = new.__defaults__ and tuple(map(kept, new.__defaults__))
    named = new.__kwdefaults__
    old.__kwdefaults__ = named and {key: kept(value) for key, value in named.items()}


def _graft_member(module: ModuleType, owner: type, key: str, new: Any) -> None:
    old = vars(owner).get(key)
    if isinstance(_bare(old), FunctionType):
        _graft_defaults(module, _bare(old), _bare(new))
    elif isinstance(old, bool | int | str | tuple) and not key.startswith("__"):
        setattr(owner, key, new)


def compare_strictly(*given: Any, **named: Any) -> Any:
    """Judge a check as if its two sides, where they are equal, did not hold."""
    from packet.ledger import Verdict, compare

    check = compare(*given, **named)
    if check.left.value != check.right.value:
        return check
    otherwise = named.get("otherwise", Verdict.FALLS_SHORT)
    return replace(check, verdict=otherwise, remedy=named.get("remedy"))


def allow_idle_inputs() -> None:
    """Let a formula that lost a symbol keep its input: the loss is to be noticed by a value."""
    import packet.ledger

    source = inspect.getsource(packet.ledger)
    strict = "if symbols != frozenset(inputs):"
    if source.count(strict) != 1:
        raise AssertionError("the ledger's test of a formula's symbols reads otherwise now")
    loose = source.replace(strict, "if not symbols <= frozenset(inputs):")
    code = _code_called(compile(loose, packet.ledger.__file__, "exec"), "computed")
    packet.ledger.computed.__code__ = code


def forget_caches() -> None:
    """Clear what the code book and the glossary keep, so that it is read again."""
    for name, module in list(sys.modules.items()):
        if name.startswith("packet"):
            for one in vars(module).values():
                if isinstance(one, _lru_cache_wrapper):
                    one.cache_clear()


# --- the tests ------------------------------------------------------------------------------------


class Run:
    """A pytest plugin: collects the tests once, sees which lines each reaches, tries mutants."""

    def __init__(self, options: argparse.Namespace) -> None:
        self.options = options
        self.most: float = options.seconds or math.inf
        self.reached: dict[str, dict[int, set[pytest.Item]]] = {}
        self.seconds: dict[pytest.Item, float] = {}
        self.killers: Counter[pytest.Item] = Counter()
        self.status = 1

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Take the place of pytest's own loop."""
        sys.path.insert(0, str(ROOT))
        finders = [Finder(name, parts) for name, parts in subjects(self.options.subject)]
        self.reached = {str(finder.path): {} for finder in finders}
        say(f"{len(session.items)} tests, {sum(len(one.found) for one in finders)} mutants")
        self._trace(session)
        gc.collect()
        gc.freeze()
        self._control(session, finders)
        self.status = self._all(finders)
        return True

    def _trace(self, session: pytest.Session) -> None:
        """Run every test once, on the code as it is; each must pass."""
        for number, item in enumerate(session.items):
            following = session.items[number + 1 : number + 2]
            started = time.perf_counter()
            sys.settrace(self._tracer(item))
            try:
                reports = runtestprotocol(item, log=False, nextitem=(*following, None)[0])
            finally:
                sys.settrace(None)
            self.seconds[item] = time.perf_counter() - started
            if any(report.failed for report in reports):
                raise SystemExit(f"{item.nodeid} fails on the code as it is")

    def _tracer(self, item: pytest.Item) -> Callable[..., Any]:
        reached = self.reached

        def on_call(frame: FrameType, *_: object) -> Any:
            lines = reached.get(frame.f_code.co_filename)
            if lines is None:
                return None

            def on_line(frame: FrameType, *_: object) -> Any:
                lines.setdefault(frame.f_lineno, set()).add(item)
                return on_line

            return on_line(frame)

        return on_call

    def _control(self, session: pytest.Session, finders: list[Finder]) -> None:
        """Put the code back in unchanged: all pass. Put in a gross change: a test fails."""

        def unchanged() -> None:
            for finder in finders:
                put_in(finder, everything=True)
                put_in(finder, everything=False)

        kind, word = self._try(unchanged, list(session.items))
        if kind != "survived":
            raise SystemExit(f"control: the code put back in unchanged is {kind}, {word}")
        name, before, after = CONTROL
        finder = Finder(name.removesuffix(".py"), None)
        gross = [m for m in finder.found if (m.before, m.after) == (repr(before), repr(after))]
        items = [item for item in session.items if item.nodeid.startswith(CONTROL_TEST)]
        for mutant in gross:
            kind, _ = self._try(lambda m=mutant: take(finder, m), items)
            if kind != "killed":
                raise SystemExit(f"control: {mutant.label} is not noticed")
        if not gross:
            raise SystemExit(f"control: {name} holds no formula {before}")
        say("controls: the unchanged code passes, the gross change is noticed")

    def _all(self, finders: list[Finder]) -> int:
        explained = read_equivalent()
        totals: Counter[str] = Counter()
        open_ones: list[tuple[Mutant, str]] = []
        met: set[str] = set()
        for finder in finders:
            counts: Counter[str] = Counter()
            self.killers.clear()
            for mutant in finder.found[:: self.options.every]:
                if self.options.only and mutant.label not in self.options.only:
                    continue
                items = self._items(finder, mutant)
                kind, word = self._try(lambda f=finder, m=mutant: take(f, m), items)
                if kind == "survived" and mutant.label in explained:
                    kind = "explained"
                    met.add(mutant.label)
                counts[kind] += 1
                if kind == "killed":
                    counts[f"by {word}"] += 1
                if kind == "survived":
                    open_ones.append((mutant, word))
                    say(f"    {mutant.line}: {mutant.label}  [{len(items)} tests]")
                if self.options.verbose and kind == "killed":
                    say(f"  x {mutant.line}: {mutant.label}  [{word}]")
            totals += counts
            say(f"{finder.name}.py: {summary(counts)}")
        say(f"all: {summary(totals)}")
        if self.options.report:
            labels = [mutant.label for mutant, _ in open_ones]
            Path(self.options.report).write_text(json.dumps(labels, indent=1), encoding="utf-8")
        whole = self.options.every == 1 and not self.options.only and not self.options.subject
        idle = sorted(explained - met) if whole else []
        for label in idle:
            say(f"explained but not met: {label}")
        return 1 if open_ones or idle else 0

    def _items(self, finder: Finder, mutant: Mutant) -> list[pytest.Item]:
        lines = self.reached[str(finder.path)]
        wanted = mutant.lines or lines.keys()
        items = set().union(*(lines.get(line, ()) for line in wanted))
        # One case of every test function before the second case of any: most changes are
        # noticed by a kind of test, not by its n-th case.
        turn: Counter[str] = Counter()
        turns: dict[pytest.Item, int] = {}
        for item in (item for item in self.seconds if item in items):
            function = item.nodeid.partition("[")[0]
            turn[function] += 1
            turns[item] = turn[function]
        items = sorted(
            items, key=lambda item: (-self.killers[item], turns[item], self.seconds[item])
        )
        spent = list(accumulate(self.seconds[item] for item in items))
        return [item for item, so_far in zip(items, spent, strict=True) if so_far <= self.most]

    def _try(self, change: Callable[[], None], items: list[pytest.Item]) -> tuple[str, str]:
        """Run `items` in a fork that took the change; stop at the first that fails."""
        if not items:
            return "survived", "no test"
        reader, writer = os.pipe()
        sys.stdout.flush()
        child = os.fork()
        if child == 0:
            _in_child(change, items, writer)
        os.close(writer)
        limit = 10 + 5 * sum(self.seconds[item] for item in items)
        ready, _, _ = select.select([reader], [], [], limit)
        text = os.read(reader, 9000).decode() if ready else ""
        os.close(reader)
        with suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        if not ready:
            return "timeout", ""
        if not text:
            return "killed", "death of the process"
        number, word = json.loads(text)
        if number is None:
            return "survived", word
        if number >= 0:
            self.killers[items[number]] += 1
        return "killed", word


def _in_child(change: Callable[[], None], items: list[pytest.Item], writer: int) -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
    answer: tuple[int | None, str] = (None, "")
    try:
        change()
    except BaseException as fault:
        answer = (-1, type(fault).__name__)
        items = []
    for number, item in enumerate(items):
        following = (*items[number + 1 : number + 2], None)[0]
        reports = runtestprotocol(item, log=False, nextitem=following)
        failed = next((report for report in reports if report.failed), None)
        if failed:
            crash = getattr(failed.longrepr, "reprcrash", None)
            word = crash.message.partition(":")[0].partition("\n")[0] if crash else "error"
            asserted = word.startswith(("assert", "AssertionError", "Failed"))
            answer = (number, "assertion" if asserted else word.rpartition(".")[2][:60])
            break
    os.write(writer, json.dumps(answer).encode())
    os._exit(0)


# --- the report -----------------------------------------------------------------------------------


def subjects(wanted: list[str]) -> list[tuple[str, set[str] | None]]:
    """Return the modules to change, and the parts of each that are the core's arithmetic."""
    rules = sorted((ROOT / "packet" / "rules").rglob("*.py"))
    found: list[tuple[str, set[str] | None]] = [
        ("packet/ledger", LEDGER_PARTS),
        ("packet/quantities", QUANTITY_PARTS),
        *(
            (str(path.relative_to(ROOT).with_suffix("")), None)
            for path in rules
            if path.name != "__init__.py" and path.parent.name == "rules"
        ),
        *(
            (str(path.relative_to(ROOT).with_suffix("")), None)
            for path in rules
            if path.parent.name == "load" and path.name != "__init__.py"
        ),
    ]
    return [
        one for one in found if not wanted or any(one[0].endswith(f"/{word}") for word in wanted)
    ]


def read_equivalent() -> set[str]:
    """Return the labels of the mutants that are explained; under each stands its reason."""
    reasons: dict[str, str] = {}
    label = ""
    for line in EQUIVALENT.read_text(encoding="utf-8").splitlines():
        if line.startswith("    "):
            reasons[label] += line.strip()
        elif line and not line.startswith("#"):
            label = line
            reasons[label] = ""
    bare = [label for label, reason in reasons.items() if not reason]
    if bare:
        raise SystemExit(f"{EQUIVALENT.name} has no reason for {'; '.join(bare)}")
    return set(reasons)


def summary(counts: Counter[str]) -> str:
    """Return one line of counts, with the share noticed of those that are not explained."""
    noticed = counts["killed"] + counts["timeout"]
    judged = noticed + counts["survived"]
    share = f"{100 * noticed / judged:.1f} %" if judged else "-"
    kinds = ("killed", "timeout", "survived", "explained")
    reasons = {key: number for key, number in counts.most_common() if key.startswith("by ")}
    return f"{share}; {', '.join(f'{counts[kind]} {kind}' for kind in kinds)}; {reasons}"


def say(text: str) -> None:
    """Write one line at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> int:
    """Read the command line and run."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("subject", nargs="*", help="such as box or load/cooking; all if left out")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="each N-th change only")
    parser.add_argument("--tests", nargs="+", default=TESTS, metavar="PATH", help="tests to use")
    parser.add_argument("--report", metavar="FILE", help="write the survivors, as JSON")
    parser.add_argument("--only", metavar="FILE", help="try only the mutants of such a report")
    parser.add_argument(
        "--seconds", type=float, metavar="N", help="for each change the quickest tests of N seconds"
    )
    parser.add_argument("--verbose", action="store_true", help="name the noticed changes too")
    options = parser.parse_args()
    if options.only:
        options.only = set(json.loads(Path(options.only).read_text(encoding="utf-8")))
    os.chdir(ROOT)
    run = Run(options)
    settings = ["-o", "addopts=", "--import-mode=importlib", "-p", "no:cacheprovider"]
    tests = dict.fromkeys([*options.tests, CONTROL_TEST])
    pytest.main([*settings, "-p", "no:terminal", *tests], plugins=[run])
    return run.status


if __name__ == "__main__":
    sys.exit(main())
