"""The disconnect of a charger: by plug or switch, by limit and edition.

After Mike Holt forum thread 2586963 (limits and plaque) and electricallicenserenewal.com on 625.43
of 2026.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Check, Ledger, Verdict
from packet.rules.disconnect import (
    charger_disconnect,
    disconnect_required,
    least_switch_rating,
    switch_wiring_space,
)
from tests.rules.givens import GAP, given, shown

MEETS, ASK, NOTE = Verdict.MEETS, Verdict.ASK, Verdict.NOTE


def judged(
    edition: str, connection: str, amperes: Any = 48, to_ground: int = 120, **more: Any
) -> dict[str, Check]:
    current = given("charging.nameplate", amperes, "A")
    volts = given("nominal_voltage_to_ground", to_ground, "V")
    checks = charger_disconnect(Book(edition), connection, current, volts, **more)
    ledger = Ledger()
    found = {check.name: ledger.judge(check) for check in checks}
    for check in found.values():
        words = finding(check, ledger)
        assert words.says
        assert not GAP.search(words.says)
        assert check.verdict is not ASK or words.who
    facts = ["charging.nameplate", "nominal_voltage_to_ground", "within_sight_distance"]
    assert shown(found["charger_has_disconnect"]) == ("", "", "", facts)
    return found


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_plug_is_a_disconnect(edition: str) -> None:
    found = judged(edition, "receptacle", in_sight=None)
    assert {name: check.verdict for name, check in found.items()} == {
        "charger_has_disconnect": MEETS
    }


@pytest.mark.parametrize(
    ("edition", "amperes", "to_ground", "required"),
    [
        *(
            (edition, amperes, to_ground, required)
            for edition in ("2017", "2020", "2023")
            for amperes, to_ground, required in (
                (59, 120, False),
                (60, 120, False),
                (61, 120, True),
                (40, 150, False),
                (40, 151, True),
            )
        ),
        ("2026", 12, 120, True),
        ("2026", 60, 120, True),
    ],
)
def test_when_a_wired_charger_needs_a_disconnect(
    edition: str, amperes: int, to_ground: int, required: bool
) -> None:
    current = given("charging.nameplate", amperes, "A")
    volts = given("nominal_voltage_to_ground", to_ground, "V")
    assert disconnect_required(Book(edition), current, volts) is required


@pytest.mark.parametrize(
    ("edition", "amperes", "in_sight", "verdict", "plaque"),
    [
        ("2023", 48, True, MEETS, False),
        ("2023", 48, False, NOTE, False),
        ("2023", 48, None, NOTE, False),
        ("2023", 80, True, MEETS, False),
        ("2023", 80, None, ASK, True),
        ("2023", 80, False, NOTE, True),
        ("2017", 80, False, NOTE, False),
        ("2020", 80, False, NOTE, True),
        ("2026", 48, None, ASK, True),
        ("2026", 48, False, NOTE, True),
        ("2026", 48, True, MEETS, False),
    ],
)
def test_a_wired_charger(
    edition: str, amperes: int, in_sight: bool | None, verdict: Verdict, plaque: bool
) -> None:
    found = judged(edition, "hardwired", amperes, in_sight=in_sight)
    assert found["charger_has_disconnect"].verdict is verdict
    assert ("remote_disconnect_has_plaque" in found) is plaque
    assert ("emergency_shutoff_is_settled" in found) is (edition == "2026")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("amperes", "serves_unit", "least"),
    [("15.3", True, "17.595"), ("26", True, "29.9"), ("26.1", True, "30.015"), ("26", False, "40")],
)
def test_a_switch_is_large_enough_for_what_it_opens(
    edition: str, amperes: str, serves_unit: bool, least: str
) -> None:
    """EC&M on Article 440: 115 percent of the unit's current; else the breaker's rating."""
    current = given("equipment_current", Decimal(amperes), "A")
    device = given("overcurrent_rating", 40, "A")
    name = "fitting.1.least_switch_rating"
    rating = least_switch_rating(Book(edition), name, device, current if serves_unit else None)
    assert rating.value.magnitude == Decimal(least)
    assert str(rating.value.units) == "ampere"


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_room_in_a_switch_is_left_to_its_label(edition: str) -> None:
    check = switch_wiring_space(Book(edition), "box.1")
    assert check.verdict is NOTE
    assert [cite.section for cite in check.cite] == ["312.6 and 312.8"]
    assert "label" in finding(check, Ledger()).says
