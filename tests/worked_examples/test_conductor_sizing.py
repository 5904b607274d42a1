"""Published worked examples of breaker and conductor sizes, in every encoded edition."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.ledger import Entry, decimal_of
from packet.quantities import ConductorSize, magnitude, parse_quantity
from packet.rules.ampacity import part_ampacity, termination_temperature
from packet.rules.conductor import (
    dwelling_supply_ampacity,
    dwelling_supply_conductor,
    sized_conductor,
)
from packet.rules.grounding import table_equipment_grounding
from tests.rules.givens import COPPER, ONE_OUTLET, conditions, demand, given, marks, size

CASES = read(Path(__file__).with_name("conductor_sizing.yaml").read_text("utf-8"))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_conductor_sizing(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    inputs = case["inputs"]
    if "continuous" in inputs:
        found = circuit(Book(edition), inputs)
    elif "rating" in inputs:
        found = supply(Book(edition), inputs)
    else:
        found = next_size_up(Book(edition), inputs)
    for name, wanted in case["expected"].items():
        entry = found[name]
        if isinstance(entry.value, ConductorSize):
            assert entry.value == ConductorSize.parse(wanted), name
        else:
            assert decimal_of(entry) == Decimal(wanted), name


def circuit(book: Book, inputs: dict[str, Any]) -> dict[str, Entry]:
    loads = (inputs["continuous"], inputs.get("other", "0 A"))
    asked = demand(book, *(magnitude(parse_quantity(load, ("A",)), "A") for load in loads))
    found = sized_conductor(
        book,
        [conditions(inputs["method"])],
        given("circuit.material", inputs["material"]),
        marks(*(int(mark) for mark in inputs["marks"])),
        asked,
    )
    assert found.selected is not None
    return {
        "minimum": asked.minimum_ampacity,
        "device": asked.overcurrent_rating,
        "conductor": found.selected,
        "equipment_grounding": table_equipment_grounding(book, asked.overcurrent_rating, COPPER),
    }


def supply(book: Book, inputs: dict[str, Any]) -> dict[str, Entry]:
    rating = magnitude(parse_quantity(inputs["rating"], ("A",)), "A")
    entry = given("dwelling_supply_rating", rating, "A")
    material = given("circuit.material", inputs["material"])
    return {
        "required": dwelling_supply_ampacity(book, entry),
        "supply": dwelling_supply_conductor(book, entry, material),
    }


def next_size_up(book: Book, inputs: dict[str, Any]) -> dict[str, Entry]:
    termination = termination_temperature(
        book, given("overcurrent_rating", 200, "A"), marks(75, 75)
    )
    found = part_ampacity(
        book,
        conditions("PVC-40", insulation="XHHW-2"),
        size("conductor_size", inputs["size"]),
        given("circuit.material", inputs["material"]),
        termination,
        ONE_OUTLET,
    )
    return {"ampacity": found.usable_ampacity, "limit": found.overcurrent_limit}
