"""Published worked examples of equipment grounding conductors, in every encoded edition."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.ledger import decimal_of
from packet.quantities import ConductorSize, magnitude, parse_quantity
from packet.rules.grounding import equipment_grounding, table_equipment_grounding
from tests.rules.givens import COPPER, given, size

CASES = read(Path(__file__).with_name("egc.yaml").read_text("utf-8"))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_equipment_grounding(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    book, inputs, expected = Book(edition), case["inputs"], case["expected"]
    device = given(
        "overcurrent_rating", magnitude(parse_quantity(inputs["device"], ("A",)), "A"), "A"
    )
    if "used" not in inputs:
        material = given("circuit.material", inputs.get("material", "copper"))
        found = table_equipment_grounding(book, device, material)
        assert found.value == ConductorSize.parse(expected["size"])
        return
    enlarged = equipment_grounding(
        book,
        device,
        size("conductor_size", inputs["used"]),
        size("equipment_grounding_base", inputs["base"]),
        COPPER,
    )
    assert enlarged.minimum.value == ConductorSize.parse(expected["size"])
    assert enlarged.required_area is not None
    off = abs(decimal_of(enlarged.required_area) - Decimal(expected["area"]))
    assert off <= Decimal(expected["tolerance"])
