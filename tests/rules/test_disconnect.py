"""The disconnect of a charger: by plug or switch, by limit and edition.

After Mike Holt forum thread 2586963 (limits and plaque) and electricallicenserenewal.com on 625.43
of 2026.
"""

from __future__ import annotations

from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Check, Ledger, Verdict
from packet.rules.disconnect import charger_disconnect, disconnect_required
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
