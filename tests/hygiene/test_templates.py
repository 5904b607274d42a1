"""No number with a unit stands in a text for readers: it comes from the ledger."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

TEXTS = sorted(
    path
    for folder in ("templates", "packet/glossary")
    for path in (ROOT / folder).rglob("*")
    if path.suffix in (".html", ".yaml")
)

UNIT = (
    r"A|kA|mA|V|kV|VA|kVA|W|kW|Ω|ohms?|MΩ|ft|feet|foot|in|inch(?:es)?|in³|lbf·in|lbf·ft|N·m"
    r"|°C|°F|%|h|hours?|min|minutes?|days?|AWG|kcmil|mm|cm|m"
)
LITERAL = re.compile(rf"(?<![\w.#&-])\d+(?:[.,]\d+)?\s?(?:{UNIT})(?![\w-])")
MARKUP = re.compile(
    r"\{[{%#].*?[}%#]\}|style=\"[^\"]*\"|<(?:svg|path|line|rect|circle)\b[^>]*>", re.DOTALL
)


def literals(text: str) -> list[str]:
    """Return every number with a unit that stands in `text` outside of what is filled in."""
    return [match[0] for match in LITERAL.finditer(MARKUP.sub(" ", text))]


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_number_with_a_unit_stands_in_a_text(path: Path) -> None:
    """A figure typed into a sentence has no citation, no edition, and outlives its rule."""
    assert literals(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "text", ["Leave 6 in of wire.", "<td>50 A</td>", "label: at least 30 days", "use 6 AWG"]
)
def test_a_planted_figure_is_caught(text: str) -> None:
    assert literals(text)


@pytest.mark.parametrize(
    "text", ['{{ v("free_length_at_box") }} of wire', "sheet 2 of the packet", "places: 2, unit: A"]
)
def test_what_is_filled_in_is_no_literal(text: str) -> None:
    assert literals(text) == []
