"""The table of keys, the classes and the words agree with each other."""

from __future__ import annotations

import types
from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any, Union, get_args, get_origin, get_type_hints

import pytest

from packet.codebook import EDITIONS, Book
from packet.jobfile.model import SECTIONS, Given, Job, Section, Unknown
from packet.jobfile.schema import Key, below, keys
from packet.jobfile.values import value_of
from packet.quantities import UNIT_LABELS, ConductorSize, TradeSize

LEAVES = [key for key in keys().values() if key.type not in ("section", "list")]
VALUE_TYPES: dict[str, Any] = {
    "text": str,
    "yes/no": bool,
    "choice": str,
    "choices": tuple[str, ...],
    "date": date,
    "quantity": Any,
    "quantities": tuple[Any, ...],
    "count": Any,
    "number": Any,
    "conductor": ConductorSize,
    "trade size": TradeSize,
    "spaces": tuple[int, ...],
}


def members(hint: Any) -> set[Any]:
    parts = get_args(hint) if get_origin(hint) in (Union, types.UnionType) else (hint,)
    return set(parts)


def wanted(key: Key) -> set[Any]:
    if key.type == "section":
        found = {SECTIONS[key.path]}
    elif key.type == "list":
        found = {tuple[SECTIONS[f"{key.path}.*"], ...]}  # type: ignore[misc]
    else:
        found = {Given[VALUE_TYPES[key.type]]} | ({Unknown} if key.unknown else set())
    return found if key.required else found | {type(None)}


@pytest.mark.parametrize("path", SECTIONS, ids=lambda path: path or "job")
def test_each_class_has_the_fields_of_its_section(path: str) -> None:
    """A key without a field would be read, accepted and lost."""
    hints = get_type_hints(SECTIONS[path])
    own = {each.name for each in fields(SECTIONS[path])} - {each.name for each in fields(Section)}
    if SECTIONS[path] is Job:
        own -= {"lines"}
    assert own == set(below(path))
    for name, key in below(path).items():
        assert members(hints[name]) == wanted(key), key.path


def test_each_key_stands_in_a_section() -> None:
    assert {key.parent for key in keys().values()} == set(SECTIONS)


@pytest.mark.parametrize("key", LEAVES, ids=lambda key: key.path)
def test_each_example_is_accepted(key: Key) -> None:
    """An example in a message that is itself refused would send the reader in a circle."""
    texts = (
        key.example.strip("[]").split(",")
        if key.type
        in (
            "choices",
            "quantities",
            "spaces",
        )
        else [key.example]
    )
    for text in texts:
        value_of(key, text.strip())


@pytest.mark.parametrize("key", LEAVES, ids=lambda key: key.path)
def test_each_key_is_whole(key: Key) -> None:
    assert key.help
    assert not key.help.endswith(".")
    assert (key.type in ("choice", "choices", "trade size")) == bool(key.choices)
    assert (key.type in ("quantity", "quantities")) == bool(key.units)
    assert set(key.units) <= set(UNIT_LABELS)
    if key.type in ("quantity", "quantities", "count", "number", "date", "conductor"):
        assert key.low
        assert key.high
    assert not (key.required and (key.required_when or key.only_when))
    for condition in (key.required_when, key.only_when):
        for name, values in condition:
            neighbour = below(key.parent)[name]
            assert set(values) <= (set(neighbour.choices) or {"yes", "no"})


RATED_IN_WATTS = ("dryer", "water_heater", "cooking.units.*")
"""Sections of the circuit whose nameplate gives a power."""


@pytest.mark.parametrize("key", LEAVES, ids=lambda key: key.path)
def test_kinds_of_power_and_of_torque_are_never_mixed_by_dimension(key: Key) -> None:
    """Volt-amperes are not watts on a nameplate, and a newton metre is no joule."""
    power = {"VA", "kVA", "W", "kW"}
    if power & set(key.units):
        nameplates = ("dwelling.loads.*", *(f"circuit.{one}" for one in RATED_IN_WATTS))
        ratings = [f"{one}.rating" for one in nameplates]
        assert key.path in (*ratings, "dwelling.measured_demand.peak")
    if {"lbf_in", "lbf_ft", "N_m"} & set(key.units):
        assert key.path == "terminals.*.torque"


def test_words_people_type_lead_to_one_key() -> None:
    for path in SECTIONS:
        known = below(path)
        words = [word for key in known.values() for word in key.also]
        assert len(words) == len(set(words))
        assert not set(words) & set(known)


def test_editions_are_those_of_the_code_book() -> None:
    assert keys()["authority.code_edition"].choices == EDITIONS


def test_configurations_are_those_of_the_table_for_new_work() -> None:
    rows = {
        row["configuration"]: row for row in Book("2023").table("receptacle_configuration").rows()
    }
    for configuration in keys()["circuit.configuration"].choices:
        assert rows[configuration]["for_new_work"] is True


def test_trade_sizes_and_methods_are_in_the_raceway_table() -> None:
    rows = list(Book("2023").table("raceway_dimensions").rows())
    methods = {row["raceway"] for row in rows}
    sizes = {row["trade_size"].name for row in rows}
    assert set(keys()["route.*.trade_size"].choices) <= sizes
    assert set(keys()["route.*.method"].choices) - methods == {"NM-B", "UF-B", "SER", "MC"}
    assert keys()["route.*.method"].choices == keys()["panel.feeder.method"].choices


def test_the_readme_lists_every_section_as_the_table_explains_it() -> None:
    """Who reads the README first must not find a section that is no more, or miss a new one."""
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    table = readme.split("| section | what it holds | must be there |\n| --- | --- | --- |\n")[1]
    listed = [line for line in table.split("\n\n")[0].splitlines() if line]
    wanted_rows = [
        f"| `{key.path}` | {key.help} | {'yes ' if key.required else ''}|"
        for key in keys().values()
        if key.path and "." not in key.path
    ]
    assert listed == wanted_rows
