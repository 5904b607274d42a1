"""Text files of the sheets, filled with the values of one job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from packet import facts
from packet.findings import render_text
from packet.ledger import Ledger
from packet.showing import show


@dataclass(frozen=True)
class Filled:
    """Selects and fills items of a text file.

    Parameters
    ----------
    ledger : Ledger
    extra : mapping
        Further names that the texts may use.
    kinds : frozenset of str
        Words that an item may ask for under ``kinds``.
    """

    ledger: Ledger
    extra: Mapping[str, Any] = field(default_factory=dict)
    kinds: frozenset[str] = frozenset()

    def text(self, text: str, **more: str) -> str:
        """Return `text` with its values."""
        context = {
            "v": lambda name: show(self.ledger[name]),
            "code": lambda name: self.ledger[name].value,
            "has": lambda name: name in self.ledger,
            "fact": lambda name: facts.fact(f"fact.{name}", self.ledger),
            **self.extra,
            **more,
        }
        return " ".join(render_text(text, context).split(" "))

    def chosen(self, items: Iterable[Mapping[str, Any]]) -> Iterator[Mapping[str, Any]]:
        """Yield the items whose facts, values and kinds are all there."""
        for item in items:
            there = all(name in self.ledger for name in item.get("has", ()))
            fits = self.kinds.issuperset(item.get("kinds", ()))
            if there and fits and facts.holds(item, self.ledger):
                yield item
