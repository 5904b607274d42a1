"""The values that travel inside a packet, and how they differ from those of another day."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Made:
    """What a packet says of how it was made; texts are empty where an older one is silent.

    Parameters
    ----------
    tool, edition, code_book, stamp : str
        Version of the tool, edition of the code, mark of the code book, check code.
    checks : mapping
        Name of a check -> verdict.
    values : mapping
        Name of a value -> as shown, and its formula.
    """

    tool: str
    edition: str
    code_book: str
    stamp: str
    checks: Mapping[str, str]
    values: Mapping[str, tuple[str, str]]


@dataclass(frozen=True)
class Difference:
    """A value or verdict then and now; empty where one of the two does not have it."""

    name: str
    then: str
    now: str


def made_of(text: str | bytes) -> Made:
    """Return what `packet values --json` printed, or an older list of values.

    Raises
    ------
    ValueError
        When the text is anything else.
    """
    try:
        whole = json.loads(text)
    except RecursionError as fault:
        raise ValueError("its brackets are nested too deep") from fault
    if isinstance(whole, list):
        whole = {"values": whole}
    if not isinstance(whole, dict):
        raise ValueError("it is no list of values")
    checks = whole.get("checks", {})
    if not isinstance(checks, dict):
        raise ValueError("its checks are no list")
    return Made(
        _text(whole.get("tool", "")),
        _text(whole.get("edition", "")),
        _text(whole.get("code_book", "")),
        _text(whole.get("stamp", "")),
        {_text(name): _text(verdict) for name, verdict in checks.items()},
        dict(_values(whole.get("values"))),
    )


def _values(lines: Any) -> Iterator[tuple[str, tuple[str, str]]]:
    if not isinstance(lines, list) or not all(isinstance(line, dict) for line in lines):
        raise ValueError("it is no list of values")
    for line in lines:
        yield _text(line.get("name")), (_text(line.get("value")), _text(line.get("formula", "")))


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError("a text is missing in it")
    return value


def differences(then: Made, now: Made) -> Iterator[Difference]:
    """Yield the values that differ, then the verdicts; in the order of today, gone ones last.

    Where the shown values are alike and their formulas differ, both are told with the formula.
    """
    for name in {**now.values, **then.values}:
        old, new = then.values.get(name, ("", "")), now.values.get(name, ("", ""))
        if old[0] != new[0]:
            yield Difference(name, old[0], new[0])
        elif old != new:
            yield Difference(name, f"{old[0]} = {old[1]}", f"{new[0]} = {new[1]}")
    if then.checks:
        for name in {**now.checks, **then.checks}:
            was, is_now = then.checks.get(name, ""), now.checks.get(name, "")
            if was != is_now:
                yield Difference(name, was, is_now)
