"""Published worked examples of ampacity, in every encoded edition."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.ledger import decimal_of
from packet.quantities import magnitude, parse_quantity
from packet.rules import ampacity
from packet.rules.overcurrent import small_conductor_limit
from tests.rules.givens import COPPER, ONE_OUTLET, conditions, given, marks, size

CASES = read(Path(__file__).with_name("ampacity.yaml").read_text("utf-8"))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_ampacity(case: dict[str, Any], edition: str, monkeypatch: pytest.MonkeyPatch) -> None:
    # 75 °C insulation is in the examples and no longer on the shelf
    monkeypatch.setitem(ampacity.CONDUCTOR_INSULATION, "THWN", "highest_termination_temperature")
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    book, inputs = Book(edition), case["inputs"]
    route = conditions(
        inputs.get("method", "EMT"),
        ambient=magnitude(parse_quantity(inputs["ambient"], ("degC",)), "degC"),
        together=int(inputs["together"]),
        insulation=inputs.get("insulation"),
        above_roof=inches(inputs.get("above_roof")),
        length=inches(inputs.get("length")),
        cables=int(inputs["cables"]) if "cables" in inputs else None,
        sealed=bool(inputs.get("sealed", False)),
    )
    used = size("conductor_size", inputs["size"])
    termination = ampacity.termination_temperature(
        book, given("overcurrent_rating", 200, "A"), marks(75, 75)
    )
    found = ampacity.part_ampacity(book, route, used, COPPER, termination, ONE_OUTLET)
    for name, wanted in case["expected"].items():
        if name == "device":
            limits = [found.overcurrent_limit, small_conductor_limit(book, used, COPPER)]
            value = min(decimal_of(limit) for limit in limits if limit)
        else:
            value = decimal_of(getattr(found, name))
        assert value == Decimal(wanted), name


def inches(text: str | None) -> Decimal | None:
    return None if text is None else magnitude(parse_quantity(text, ("in",)), "in")
