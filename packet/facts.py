"""Conditions of the text files: which facts of a job an item of a text file waits for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from packet.ledger import Ledger


def holds(item: Mapping[str, Any], ledger: Ledger, n: int = 0) -> bool:
    """Say whether every condition of `item` is true; `or` gives alternatives.

    Parameters
    ----------
    item : mapping
        An item of a text file; its conditions stand under ``when``.
    ledger : Ledger
        With every fact that the conditions name.
    n : int
        The repeated thing that a star between dots stands for; 0 where nothing is repeated.
    """
    return all(
        any(_is_so(part.strip(), ledger, n) for part in condition.split(" or "))
        for condition in item.get("when", ())
    )


def fact(name: str, ledger: Ledger, n: int = 0) -> bool:
    """Return a fact by its whole ledger name.

    Raises
    ------
    TypeError
        When the entry is neither true nor false.
    """
    value = ledger[at(name, n)].value
    if not isinstance(value, bool):
        raise TypeError(f"`{name}` is no fact: it is neither true nor false")
    return value


def at(text: str, n: int) -> str:
    """Put the number of a repeated thing where the text has a star between dots."""
    return text.replace(".*", f".{n}") if n else text


def _is_so(condition: str, ledger: Ledger, n: int) -> bool:
    name = condition.removeprefix("not ")
    return fact(name, ledger, n) is (name == condition)
