"""The table of keys: what a job file may say, read once from ``schema.yaml``."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Any

from packet.textdata import load

Condition = tuple[tuple[str, tuple[str, ...]], ...]
"""Neighbouring keys, each with the values that satisfy."""


@dataclass(frozen=True)
class Key:
    """One key of the job file.

    Parameters
    ----------
    path : str
        From the top; ``*`` stands for each line of a list: ``route.*.length``.
    type : str
        One of :data:`TYPES`.
    help : str
        What to write, as a homeowner would say it.
    example : str
        A value that is accepted; empty for sections and lists.
    units : tuple of str
        Units a quantity may be typed in, as Pint expressions.
    low, high : tuple of str
        The sane range, one text for each dimension the key takes; both ends are allowed.
    required, required_when, only_when
        Whether the key must stand, under which other values it must, and under which
        it has a meaning at all.
    unknown : bool
        Whether ``unknown`` is an answer.
    at_least, at_most : int
        Fewest and most lines of a list, or values in brackets. A list without end would keep
        the machine for hours.
    also : tuple of str
        Other words that people type for the key.
    """

    path: str
    type: str
    help: str
    example: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    low: tuple[str, ...] = ()
    high: tuple[str, ...] = ()
    required: bool = False
    required_when: Condition = ()
    only_when: Condition = ()
    unknown: bool = False
    at_least: int = 0
    at_most: int = 100
    also: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The last word of the path."""
        return self.path.rpartition(".")[2]

    @property
    def parent(self) -> str:
        """The path of the section that the key stands in; empty at the top."""
        return self.path.rpartition(".")[0]


TYPES = (
    "section",
    "list",
    "text",
    "yes/no",
    "choice",
    "choices",
    "date",
    "quantity",
    "quantities",
    "count",
    "number",
    "conductor",
    "trade size",
    "spaces",
)


@cache
def keys() -> dict[str, Key]:
    """Return every key by its path, in the order of the table."""
    text = (files("packet") / "jobfile" / "schema.yaml").read_text("utf-8")
    lines = load(text)
    return {path: _key(path, line) for path, line in lines.items()}


@cache
def below(path: str) -> dict[str, Key]:
    """Return the keys that stand directly in the section `path`, by name."""
    return {key.name: key for key in keys().values() if key.parent == path}


@cache
def signs() -> frozenset[str]:
    """Return the signs that a text may hold: those that the typeface of the pages has."""
    lines = (files("packet") / "jobfile" / "signs.txt").read_text("utf-8").splitlines()
    ranges = (line.split("-") for line in lines if not line.startswith("#"))
    return frozenset(
        chr(point) for ends in ranges for point in range(int(ends[0], 16), int(ends[-1], 16) + 1)
    )


def _key(path: str, line: dict[str, Any]) -> Key:
    known = {each.name for each in fields(Key)} - {"path"}
    if line.keys() - known or line["type"] not in TYPES:
        raise ValueError(f"`{path}` in schema.yaml has an unknown field or type")
    return Key(
        path,
        line["type"],
        line["help"],
        line.get("example", ""),
        tuple(line.get("units", ())),
        tuple(line.get("choices", ())),
        _several(line.get("low", ())),
        _several(line.get("high", ())),
        line.get("required") == "true",
        _condition(line.get("required_when", {})),
        _condition(line.get("only_when", {})),
        line.get("unknown") == "true",
        int(line.get("at_least", 0)),
        int(line.get("at_most", 100)),
        tuple(line.get("also", ())),
    )


def _several(texts: str | list[str] | tuple[()]) -> tuple[str, ...]:
    return (texts,) if isinstance(texts, str) else tuple(texts)


def _condition(line: dict[str, str | list[str]]) -> Condition:
    return tuple((path, _several(values)) for path, values in line.items())
