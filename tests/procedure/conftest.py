"""Made-up ledgers: every fact set by hand, every printed value a placeholder of its unit."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from packet import resources, words
from packet.codebook import Book
from packet.ledger import Citation, Entry, Kind, Ledger
from packet.plans.kinds import KINDS
from packet.procedure import Procedure, Reading, Rows, build_procedure
from packet.quantities import quantity

Build = Callable[..., Procedure]

VALUE = re.compile(r"""v\(\s*["']([\w.*]+)["']|["'](meter_category\w*)["']|\bof: ([\w.*]+)""")

PARTS = {
    "cable": ("is_cable", "is_open_to_nails", "is_inside_wall"),
    "cable in the attic": (
        "is_cable",
        "is_open_to_nails",
        "is_inside_wall",
        "is_above_reach",
        "is_attic",
    ),
    "cable in the ceiling": ("is_cable", "is_open_to_nails", "is_inside_wall", "is_above_reach"),
    "cable on the wall": ("is_cable",),
    "cable high up": ("is_cable", "is_above_reach"),
    "raceway": ("is_raceway",),
    "raceway in framing": ("is_raceway", "is_inside_wall"),
    "raceway high up": ("is_raceway", "is_above_reach"),
    "cable through a wall": ("is_cable", "is_above_reach", "goes_through_wall"),
    "raceway through a wall": ("is_raceway", "is_above_reach", "goes_through_wall"),
    "buried raceway": ("is_raceway", "is_solvent_joined", "is_buried"),
    "buried cable": ("is_cable", "is_buried"),
}
PART_FACTS = sorted({fact for facts in PARTS.values() for fact in facts})
JOB_FACTS = (
    "owner_does_work",
    "source_is_service_panel",
    "is_receptacle",
    "has_neutral",
    "has_metal_box",
    "has_metal_outlet_box",
    "has_metal_pull_box",
    "has_splices",
    "has_disconnect_box",
    "is_outdoors",
    "is_aluminum",
    "is_stranded",
    "white_wire_is_hot",
    "breaker_is_gfci",
    "is_continuous",
    "has_insulation_test",
    "has_loaded_reading",
    *sorted({name for kind in KINDS.values() for name in kind.fact_names}),
)
TERMINALS = (
    "outlet ground",
    "outlet neutral",
    "outlet line 1",
    "outlet line 2",
    "panel grounding bar",
    "panel neutral bar",
    "panel breaker neutral",
    "panel breaker line 1",
    "panel breaker line 2",
)


def library_files() -> list[Path]:
    folder = resources.folder("templates")
    lists = (folder / f"{name}.yaml" for name in ("tools", "permit", "as_built"))
    return [*resources.templates("procedure"), *lists]


@cache
def library_text() -> str:
    return "\n".join(path.read_text("utf-8") for path in library_files())


@cache
def printed_values() -> frozenset[str]:
    """Return the name of every ledger value that some text prints or cites."""
    return frozenset(name for found in VALUE.findall(library_text()) for name in found if name)


@pytest.fixture(scope="session")
def value_names() -> frozenset[str]:
    return printed_values()


@pytest.fixture(scope="session")
def raw() -> dict[str, Any]:
    """The text files by their stem, as they stand."""
    return {
        path.stem: yaml.load(path.read_text("utf-8"), yaml.CBaseLoader)  # noqa: S506 - makes text only
        for path in library_files()
    }


@pytest.fixture
def build() -> Build:
    """Return a maker of procedures: `build(parts=(...), boxes=(...), has_neutral=True, ...)`."""
    cite = (Citation("NEC", "2023", "110.14(D)", "MEMORY"),)

    def placeholder(name: str) -> Entry:
        unit = words.word(name).unit
        return Entry(name, quantity(7, unit) if unit else "some value", Kind.FIGURE, cite)

    def make(
        parts: tuple[str, ...] = ("cable",),
        boxes: tuple[tuple[bool, bool], ...] = ((False, True),),
        leave_out: str = "",
        rows: Rows | None = None,
        **facts: bool,
    ) -> Procedure:
        ledger = Ledger()

        def enter(name: str, value: bool) -> None:
            if name != leave_out:
                ledger.add(Entry(name, value, Kind.GIVEN))

        kinds = [PARTS[part] for part in parts]
        found: dict[str, bool] = dict.fromkeys(JOB_FACTS, False) | {
            "uses_cable": any("is_cable" in kind for kind in kinds),
            "uses_raceway": any("is_raceway" in kind for kind in kinds),
            "cable_at_panel": "is_cable" in kinds[0],
            "is_buried": any("is_buried" in kind for kind in kinds),
            "is_inside_wall": any("is_inside_wall" in kind for kind in kinds),
            "goes_through_wall": any("goes_through_wall" in kind for kind in kinds),
            "is_charger": True,
        }
        for name, value in (found | facts).items():
            enter(f"fact.{name}", value)
        for number, kind in enumerate(kinds, 1):
            for fact in PART_FACTS:
                enter(f"fact.route.{number}.{fact}", fact in kind)
        for number, (metal, cable) in enumerate(boxes, 1):
            enter(f"fact.box.{number}.is_metal", metal)
            enter(f"fact.box.{number}.takes_cable", cable)
            enter(f"fact.box.{number}.takes_raceway", not cable)
        for name in printed_values():
            numbers = range(1, len(parts) + 1) if ".*" in name else [0]
            for number in numbers:
                ledger.add(placeholder(name.replace(".*", f".{number}")))
        return build_procedure(ledger, rows or every_row(), Book("2023"))

    return make


@cache
def every_row() -> Rows:
    readings = dict.fromkeys(re.findall(r"expect: (\S+)|band\('([\w-]+)'\)", library_text()))
    return Rows(
        {name: f"E-{number}" for number, name in enumerate(TERMINALS, 1)},
        {
            name: Reading(f"F-{number}", "0 to 7\u00a0V", "V")
            for number, name in enumerate(("".join(found) for found in readings), 1)
        },
    )


@pytest.fixture(scope="session")
def all_rows() -> Rows:
    """A row for every terminal and every reading that some step names."""
    return every_row()
