"""Published worked examples of grounding electrode conductors, in every encoded edition."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.quantities import ConductorSize
from packet.rules.grounding import electrode_conductor
from tests.rules.givens import COPPER, given, size

CASES = read(Path(__file__).with_name("grounding.yaml").read_text("utf-8"))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_grounding_electrode_conductor(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    inputs = case["inputs"]
    found = electrode_conductor(
        Book(edition),
        size("service_conductor", inputs["service"]),
        given("service_conductor_material", inputs["service_material"]),
        COPPER,
        given("electrode_kind", inputs["electrode"]),
    )
    assert found.value == ConductorSize.parse(case["expected"])
