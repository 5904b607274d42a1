"""The glossary: what each ledger value is called, in which unit and how finely it is shown."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from packet.language import cached, counted, said
from packet.quantities import UNIT_LABELS, Toward
from packet.textdata import load


@dataclass(frozen=True)
class Word:
    """One glossary line; `unit` is a Pint expression, empty for a plain number or no number.

    `brief` are the places on the sheets one works by; with `places` of them, a printed formula
    can be redone from the shown values of its inputs.
    """

    label: str
    unit: str = ""
    places: int = 2
    toward: Toward = "nearest"
    fixed: bool = False
    subject: str = ""
    brief: int = 2


def word(name: str) -> Word:
    """Return the glossary line of a ledger name.

    Numbers between dots stand for repeated things: ``route.2.ampacity`` is looked
    up as ``route.*.ampacity``, and ``{1}`` in its label becomes ``2``.

    Raises
    ------
    KeyError
        When the glossary has no such line: no value is printed without a name.
    """
    found = _word(name)
    if found is None:
        raise KeyError(f"`{name}` is not in the glossary")
    return found


@cached
def _word(name: str) -> Word | None:
    line = glossary().get(re.sub(r"(?<=\.)\d+(?=\.|$)", "*", name))
    if line is None:
        return None
    label = said(str(line["label"]))
    for place, number in enumerate(re.findall(r"(?<=\.)\d+(?=\.|$)", name), 1):
        label = label.replace(f"{{{place}}}", number)
    places = int(line.get("places", 2))
    return Word(
        label,
        line.get("unit", ""),
        places,
        line.get("toward", "nearest"),
        line.get("fixed") == "true",
        line["subject"],
        int(line.get("brief", places)),
    )


@cache
def glossary() -> dict[str, dict[str, Any]]:
    """Return every glossary line by its name (with ``*`` for numbers)."""
    lines: dict[str, dict[str, Any]] = {}
    for path in sorted((files("packet") / "glossary").iterdir(), key=str):
        for name, line in load(path.read_text("utf-8")).items():
            if name in lines:
                raise ValueError(f"`{name}` stands twice in the glossary")
            if line.get("unit", "") not in UNIT_LABELS:
                raise ValueError(f"`{name}` has the unknown unit `{line['unit']}`")
            lines[name] = {**line, "subject": path.name.removesuffix(".yaml")}
    return lines


def yes_or_no(value: bool) -> str:
    """Return a truth as the glossary words it."""
    return word("truth.yes" if value else "truth.no").label


def subject(name: str) -> str:
    """Return the heading of a subject, which is the name of a glossary file."""
    return word(f"subject.{name}").label


def term(text: str) -> str:
    """Return a word of the job file or the code book, or a list of them, as a reader says it."""
    whole = said(text)
    return whole if whole != text else ", ".join(map(said, text.split(", ")))


def unit_word(unit: str, number: str) -> str:
    """Return the word for a unit that has no symbol, as it goes with a shown number."""
    line = glossary()[f"unit.{unit}"]
    count = int(number) if number.isdigit() else 2
    return counted(str(line["label"]), str(line["plural"]), count)
