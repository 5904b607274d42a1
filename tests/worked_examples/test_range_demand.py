"""Demands of cooking appliances as published; the sources stand in range_demand.yaml."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.rules.load.cooking import Appliance, as_one_range, cooking_demand
from tests.rules.givens import given
from tests.rules.houses import va

EXAMPLES: Any = read(Path(__file__).with_name("range_demand.yaml").read_text("utf-8"))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["name"])
def test_the_printed_demand(example: dict[str, Any], edition: str) -> None:
    assert example["source"]
    assert example["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    book = Book(edition)
    appliances = tuple(
        Appliance(
            given(f"dwelling.load.{number}.rating", rating, "kW"),
            given(f"dwelling.load.{number}.count", count, ""),
        )
        for number, (rating, count) in enumerate(example["ratings"], 1)
    )
    if "one_range" in example:
        appliances = (as_one_range(book, appliances),)
    demand = va(cooking_demand(book, appliances))
    off = abs(demand - Decimal(example["demand"]) * 1000)
    assert off <= Decimal(example.get("tolerance", 0)) * 1000
    if "amperes" in example:
        printed = Decimal(example["amperes"])
        assert round(demand / 240, -int(printed.as_tuple().exponent)) == printed
