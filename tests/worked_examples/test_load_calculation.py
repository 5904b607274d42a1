"""Whole load calculations against published ones; the sources stand in load_calculation.yaml."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet import words
from packet.codebook import Book, read
from packet.ledger import Entry, Ledger
from packet.quantities import magnitude
from packet.rules.load import calculate, neutral_load
from tests.rules.givens import given
from tests.rules.houses import entered, house, load, supply

EXAMPLES: Any = read(Path(__file__).with_name("load_calculation.yaml").read_text("utf-8"))


CASES = [(example, edition) for example in EXAMPLES for edition in example["editions"]]


def ledger_of(example: dict[str, Any], edition: str) -> Ledger:
    book = Book(edition)
    loads = [
        load(
            number,
            one["kind"],
            one["rating"],
            count=int(one.get("count", 1)),
            volts=int(one["volts"]) if "volts" in one else None,
            fastened="fastened" in one,
        )
        for number, one in enumerate(example.get("loads", []), 1)
    ]
    dwelling = house(
        *loads,
        area=example["floor_area"],
        kitchen=int(example.get("small_appliance_circuits", 2)),
        laundry=int(example.get("laundry_circuits", 1)),
    )
    served = supply(book, carries_whole_dwelling="part_of_a_dwelling" not in example)
    return entered(
        calculate(book, dwelling, served, given_method(example)),
        [line.entry for line in neutral_load(book, dwelling, served)],
    )


def given_method(example: dict[str, Any]) -> Entry | None:
    """The rating that would serve is that of the method the example uses."""
    methods = {name.split(".")[1] for name in example["expect"] if name.startswith("load.")}
    method = "standard" if "standard" in methods else "optional"
    return given("circuit.load_method", method)


def value(ledger: Ledger, name: str) -> Decimal:
    first, *rest = name.split(" - ")
    numbers = [
        magnitude(ledger[one].value, words.word(one).unit or "dimensionless")
        for one in (first, *rest)
    ]
    return numbers[0] - sum(numbers[1:])


@pytest.mark.parametrize(
    ("example", "edition"), CASES, ids=lambda one: one if isinstance(one, str) else one["name"]
)
def test_the_printed_figures_of_a_published_calculation(
    example: dict[str, Any], edition: str
) -> None:
    ledger = ledger_of(example, edition)
    for name, printed in example["expect"].items():
        off = abs(value(ledger, name) - Decimal(printed))
        assert off <= Decimal(example.get("tolerance", {}).get(name, 0)), name


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["name"])
def test_every_example_names_its_source_and_how_it_was_seen(example: dict[str, Any]) -> None:
    assert example["source"]
    assert example["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
