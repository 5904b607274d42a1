"""Published worked examples of enlarged equipment grounding conductors, in every edition."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.ledger import decimal_of
from packet.quantities import ConductorSize, magnitude, parse_quantity
from packet.rules.grounding import equipment_grounding
from tests.rules.givens import COPPER, given, size

CASES = read(Path(__file__).with_name("egc.yaml").read_text("utf-8"))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_enlarged_equipment_grounding(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    inputs, expected = case["inputs"], case["expected"]
    device = magnitude(parse_quantity(inputs["device"], ("A",)), "A")
    found = equipment_grounding(
        Book(edition),
        given("overcurrent_rating", device, "A"),
        size("conductor_size", inputs["used"]),
        size("equipment_grounding_base", inputs["base"]),
        COPPER,
    )
    assert found.minimum.value == ConductorSize.parse(expected["size"])
    assert found.required_area is not None
    off = abs(decimal_of(found.required_area) - Decimal(expected["area"]))
    assert off <= Decimal(expected["tolerance"])
