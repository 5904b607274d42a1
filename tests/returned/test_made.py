"""What a packet says of how it was made, and how it differs from today."""

from __future__ import annotations

import json
from typing import Any

import pytest

from packet.returned.made import Difference, differences, made_of

LINE = {"name": "voltage_drop", "value": "1.6 V", "formula": "I × R", "unit": "V"}


def made(*lines: Any, **head: Any) -> Any:
    return made_of(json.dumps({"stamp": "0123-AB", **head, "values": list(lines)}))


def test_like_packets_have_no_difference() -> None:
    assert list(differences(made(LINE), made(LINE))) == []


def test_every_kind_of_difference_is_told_with_both_sides() -> None:
    then = made(
        LINE,
        {"name": "trips.total", "value": "$ 310.25"},
        {"name": "gone", "value": "7 A"},
        checks={"loaded": "meets", "asked": "ask"},
    )
    now = made(
        {**LINE, "formula": "I × R ÷ 2"},
        {"name": "fresh", "value": "9 A"},
        {"name": "trips.total", "value": "$ 318.40"},
        checks={"loaded": "falls short", "asked": "ask"},
    )
    assert list(differences(then, now)) == [
        Difference("voltage_drop", "1.6 V = I × R", "1.6 V = I × R ÷ 2"),
        Difference("fresh", "", "9 A"),
        Difference("trips.total", "$ 310.25", "$ 318.40"),
        Difference("gone", "7 A", ""),
        Difference("loaded", "meets", "falls short"),
    ]


def test_an_older_packet_is_compared_by_its_list_alone() -> None:
    """Packets made before the head was there carry a bare list."""
    older = made_of(json.dumps([LINE]))
    assert (older.tool, older.stamp, older.checks) == ("", "", {})
    assert list(differences(older, made(LINE, checks={"loaded": "meets"}))) == []


@pytest.mark.parametrize(
    "text",
    ["", "{", "3", '"values"', "{}", '{"values": {}}', '{"values": [3]}', '{"values": [{}]}',
     '{"values": [], "tool": 3}', '{"values": [], "checks": []}', "[" * 99_999],
)  # fmt: skip
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        made_of(text)
