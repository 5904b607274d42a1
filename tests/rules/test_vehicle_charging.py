"""Vehicle charging: which current counts, which receptacle serves, what is asked by edition."""

from __future__ import annotations

from decimal import Decimal
from itertools import product
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Check, Ledger, Verdict
from packet.rules.vehicle_charging import (
    Setting,
    charger_is_listed,
    charging_current,
    charging_current_of_receptacle,
    charging_needs_no_ventilation,
    cord_carries_current,
    individual_circuit,
    installer_is_qualified,
    mounting_checks,
    receptacle_grade,
    receptacle_is_for_charging,
    setting_is_disputed,
)
from tests.rules.givens import GAP, amperes, given, shown

NAMEPLATE = given("charging.nameplate", 48, "A")
MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE


def setting(current: Any = 32, access: bool | None = True, label: bool | None = True) -> Setting:
    return Setting(given("charging.setting", current, "A"), access, label)


def said(*checks: Check) -> list[str]:
    """Return the words of checks; a check without words for its verdict fails here."""
    ledger = Ledger()
    for check in checks:
        ledger.judge(check)
    found = [finding(check, ledger) for check in checks]
    assert all(one.who for one in found if one.verdict is ASK)
    assert not any(GAP.search(one.says) for one in found)
    return [one.says for one in found]


@pytest.mark.parametrize(
    ("edition", "fastened", "verdict"),
    [
        ("2017", True, NOTE),
        ("2017", False, NOTE),
        ("2020", True, MEETS),
        ("2020", False, NOTE),
        ("2020", None, ASK),
        ("2023", True, MEETS),
        ("2023", False, MEETS),
        ("2023", None, MEETS),
        ("2026", False, MEETS),
    ],
)
def test_a_setting_sizes_the_circuit_by_edition(
    edition: str, fastened: bool | None, verdict: Verdict
) -> None:
    """2017 none, Mike Holt forum thread 2586743; 2020 fixed in place, 2023 any (expertce.com)."""
    current, checks = charging_current(Book(edition), NAMEPLATE, setting(), fastened=fastened)
    assert checks[0].verdict is verdict
    assert amperes(current) == (32 if verdict is MEETS else 48)
    assert all(said(*checks))


@pytest.mark.parametrize(
    ("access", "label"), [p for p in product((True, False, None), repeat=2) if p != (True, True)]
)
def test_a_setting_counts_only_behind_a_lock_and_on_the_label(
    access: bool | None, label: bool | None
) -> None:
    current, checks = charging_current(Book("2023"), NAMEPLATE, setting(32, access, label))
    assert amperes(current) == 48
    assert checks[0].verdict is (NOTE if False in (access, label) else ASK)
    assert all(said(*checks))


@pytest.mark.parametrize(
    ("counts", "agreed", "sized_for", "verdict"),
    [
        (False, False, 48, NOTE),
        (False, True, 48, NOTE),
        (True, False, 32, ASK),
        (True, True, 32, MEETS),
    ],
)
def test_in_2017_a_setting_counts_only_on_a_reading_that_the_office_agrees_to(
    counts: bool, agreed: bool, sized_for: int, verdict: Verdict
) -> None:
    current, checks = charging_current(
        Book("2017"), NAMEPLATE, setting(), fastened=True, setting_counts=counts, agreed=agreed
    )
    assert amperes(current) == sized_for
    assert checks[0].verdict is verdict
    assert setting_is_disputed(Book("2017"))


@pytest.mark.parametrize("edition", ["2020", "2023", "2026"])
@pytest.mark.parametrize("counts", [False, True])
def test_from_2020_the_reading_changes_nothing(edition: str, counts: bool) -> None:
    current, checks = charging_current(
        Book(edition), NAMEPLATE, setting(), fastened=True, setting_counts=counts
    )
    assert amperes(current) == 32
    assert checks[0].verdict is MEETS
    assert not setting_is_disputed(Book(edition))


@pytest.mark.parametrize(("access", "label"), [(False, True), (True, False), (None, True)])
def test_in_2017_an_open_setting_counts_on_no_reading(
    access: bool | None, label: bool | None
) -> None:
    current, _ = charging_current(
        Book("2017"),
        NAMEPLATE,
        setting(32, access, label),
        fastened=True,
        setting_counts=True,
        agreed=True,
    )
    assert amperes(current) == 48


@pytest.mark.parametrize(("current", "verdict"), [(47, MEETS), (48, MEETS), (49, SHORT)])
def test_a_setting_is_not_above_the_nameplate(current: int, verdict: Verdict) -> None:
    taken, checks = charging_current(Book("2023"), NAMEPLATE, setting(current))
    assert checks[1].verdict is verdict
    assert amperes(taken) == min(current, 48)
    sides = ("charging.setting", "charging.nameplate")
    assert shown(checks[0]) == (*sides, "", [])
    assert shown(checks[1]) == (*sides, "charging.nameplate" if verdict is SHORT else "", [])
    assert all(said(*checks))


def test_what_nobody_says_of_a_setting_is_taken_on_the_safe_side() -> None:
    """In 2017 no setting counts; in 2020 it hangs on the fastening, which is asked for."""
    for edition, verdict in (("2017", NOTE), ("2020", ASK)):
        current, checks = charging_current(Book(edition), NAMEPLATE, setting())
        assert amperes(current) == 48
        assert checks[0].verdict is verdict
    current, checks = charging_current(Book("2017"), NAMEPLATE, setting(), setting_counts=True)
    assert amperes(current) == 32
    assert checks[0].verdict is ASK


def test_without_a_setting_the_nameplate_counts() -> None:
    current, checks = charging_current(Book("2023"), NAMEPLATE)
    assert (amperes(current), checks) == (48, ())


@pytest.mark.parametrize(("rating", "current"), [(20, 16), (30, 24), (40, 32), (50, 40), (60, 48)])
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_bare_receptacle_is_reckoned_for_what_its_circuit_gives(
    edition: str, rating: int, current: int
) -> None:
    """80 % of the circuit: 32 A on 40, 40 A on 50, 48 A on 60 (maker's code-change guide 2023)."""
    device = given("overcurrent_rating", rating, "A")
    assert amperes(charging_current_of_receptacle(Book(edition), device)) == current


@pytest.mark.parametrize(
    ("edition", "current", "volts", "shared"),
    [
        ("2017", 12, 120, SHORT),
        ("2020", 12, 120, SHORT),
        ("2023", 16, 120, MEETS),
        ("2023", 17, 120, SHORT),
        ("2023", 16, 121, SHORT),
        ("2023", 16, 240, SHORT),
        ("2026", 16, 120, MEETS),
        ("2026", 32, 240, SHORT),
    ],
)
def test_alone_on_its_circuit(edition: str, current: int, volts: int, shared: Verdict) -> None:
    """From 2023 only above 16 A or 120 V (expertce.com on 625.40)."""
    book = Book(edition)
    values = given("charging.nameplate", current, "A"), given("nominal_voltage", volts, "V")
    verdicts = [
        individual_circuit(book, *values, serves_others=others).verdict
        for others in (False, True, None)
    ]
    assert verdicts == [MEETS, shared, MEETS if shared is MEETS else ASK]
    for others in (False, True, None):
        check = individual_circuit(book, *values, serves_others=others)
        assert said(check)
        assert shown(check) == ("", "", "", ["charging.nameplate", "nominal_voltage"])


@pytest.mark.parametrize(
    ("edition", "configuration", "portable", "fastened", "unknown"),
    [
        ("2017", "14-50", SHORT, MEETS, ASK),
        ("2017", "6-50", SHORT, MEETS, ASK),
        ("2017", "5-20", MEETS, MEETS, MEETS),
        ("2017", "14-60", SHORT, SHORT, SHORT),
        *(
            (edition, one, MEETS, MEETS, MEETS)
            for edition in ("2020", "2023", "2026")
            for one in ("6-15", "6-20", "6-30", "6-50", "14-30", "14-50")
        ),
        ("2020", "14-60", SHORT, SHORT, SHORT),
        ("2023", "14-60", SHORT, SHORT, SHORT),
        ("2026", "14-60", MEETS, MEETS, MEETS),
        ("2023", "10-50", SHORT, SHORT, SHORT),
        ("2023", "TT-30", SHORT, SHORT, SHORT),
    ],
)
def test_which_receptacles_serve(
    edition: str, configuration: str, portable: Verdict, fastened: Verdict, unknown: Verdict
) -> None:
    """Maker's code-change guide 2020 and a quotation of 625.44 of 2020; EC&M for 2026."""
    one = given("circuit.configuration", configuration)
    checks = [
        receptacle_is_for_charging(Book(edition), one, fastened=state)
        for state in (False, True, None)
    ]
    assert [check.verdict for check in checks] == [portable, fastened, unknown]
    for check in checks:
        assert said(check)
        assert check.left is one
    lists = ("receptacles_for_portable_chargers", "receptacles_for_fastened_chargers")
    named = [check.right.name for check in checks if check.right]
    if portable is MEETS:
        assert named == [lists[0]] * 3
    elif fastened is SHORT:
        assert named == [lists[1]] * 3
    else:
        assert named == [lists[0], lists[1], lists[0]]


@pytest.mark.parametrize(
    ("edition", "current", "verdict"),
    [
        *(
            (edition, current, verdict)
            for edition in ("2017", "2020", "2023")
            for current, verdict in ((39, MEETS), (40, MEETS), (41, SHORT), (48, SHORT))
        ),
        ("2026", 47, MEETS),
        ("2026", 48, MEETS),
        ("2026", 49, SHORT),
    ],
)
def test_the_largest_current_on_a_cord(edition: str, current: int, verdict: Verdict) -> None:
    """50 A receptacles until 2023, 60 A in 2026 (EC&M, top 25 changes)."""
    check = cord_carries_current(Book(edition), given("charging.nameplate", current, "A"))
    assert check.verdict is verdict
    assert said(check)


@pytest.mark.parametrize(
    ("edition", "rating", "grade", "verdict"),
    [
        ("2023", 50, None, NOTE),
        ("2023", 50, "standard", NOTE),
        ("2023", 50, "industrial", MEETS),
        ("2017", 50, "listed for vehicle charging", MEETS),
        ("2026", 29, "standard", MEETS),
        ("2026", 30, "standard", SHORT),
        ("2026", 50, "industrial", SHORT),
        ("2026", 50, None, ASK),
        ("2026", 50, "listed for vehicle charging", MEETS),
        ("2026", 20, None, MEETS),
    ],
)
def test_the_grade_of_the_receptacle(
    edition: str, rating: int, grade: str | None, verdict: Verdict
) -> None:
    """Listed for charging from 30 A on in 2026 (electricallicenserenewal.com; EC&M)."""
    one = None if grade is None else given("circuit.receptacle_grade", grade)
    check = receptacle_grade(Book(edition), given("receptacle.rating", rating, "A"), one)
    assert check.verdict is verdict
    told = ["receptacle.rating"] + ([one.name] if one else [])
    assert shown(check) == ("", "", "", told)
    assert said(check)


@pytest.mark.parametrize(("listed", "verdict"), [(True, MEETS), (False, SHORT), (None, ASK)])
def test_the_charger_is_listed(listed: bool | None, verdict: Verdict) -> None:
    """625.6 (625.5 in 2017)."""
    check = charger_is_listed(Book("2020"), listed=listed)
    assert check.verdict is verdict
    assert said(check)


def test_who_may_put_in_a_hardwired_charger() -> None:
    """2026 only; receptacles are not named (Mike Holt forum thread 2587632)."""
    for edition, connection in product(EDITIONS, ("receptacle", "hardwired")):
        for licensed in (True, False):
            check = installer_is_qualified(Book(edition), connection, licensed_electrician=licensed)
            if (edition, connection) != ("2026", "hardwired"):
                assert check is None
            else:
                assert check is not None
                assert check.verdict is (MEETS if licensed else ASK)
                assert said(check)


@pytest.mark.parametrize(
    ("place", "marked", "verdict"),
    [
        ("garage", True, MEETS),
        ("garage", None, ASK),
        ("basement", False, ASK),
        *((room, None, ASK) for room in ("laundry", "kitchen", "accessory building", "other room")),
        ("outdoors", None, None),
        ("carport", None, None),
    ],
)
def test_ventilation(place: str, marked: bool | None, verdict: Verdict | None) -> None:
    """625.52."""
    check = charging_needs_no_ventilation(Book("2023"), place, marked_for_indoors=marked)
    assert (check and check.verdict) is verdict
    if check:
        assert said(check)


@pytest.mark.parametrize(
    ("place", "height", "verdict"),
    [
        ("garage", 17, NOTE),
        ("garage", 18, MEETS),
        ("garage", 19, MEETS),
        ("outdoors", 23, NOTE),
        ("outdoors", 24, MEETS),
        ("carport", "24.1", MEETS),
        ("garage", None, NOTE),
    ],
)
def test_the_height_of_the_coupler(place: str, height: Any, verdict: Verdict) -> None:
    """18 in indoors, 24 in outdoors; from memory. 625.50."""
    one = None if height is None else given("circuit.height", Decimal(height), "in")
    checks = list(mounting_checks(Book("2023"), place, one))
    assert checks[0].verdict is verdict
    assert all(said(*checks))
    least = checks[0].right
    assert least is not None
    assert checks[0].remedy == (least if one and verdict is NOTE else None)
    cords = ["charger_supply_cord_length", "charger_cable_length"]
    assert checks[1].verdict is NOTE
    assert shown(checks[1]) == ("", "", "", cords)
