"""Every value of every demo can be defended: formulas, walk-back, wording, stamp."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

import pytest

from packet import words
from packet.findings import finding
from packet.ledger import Entry, Kind, Ledger, Verdict
from packet.quantities import Quantity
from packet.showing import show, stamp
from tests.demos.conftest import JOBS, NAMES, planned

EXPECTED = {
    "garage-receptacle": Verdict.MEETS,
    "driveway-pedestal": Verdict.MEETS,
    "full-service": Verdict.FALLS_SHORT,
    "cellar-subpanel": Verdict.ASK,
}

BASE = {
    "foot": Decimal(1),
    "inch": 1 / Decimal(12),
    "kilofoot": Decimal(1000),
    "meter": 1 / Decimal("0.3048"),
    "millimeter": 1 / Decimal("304.8"),
    "kilowatt": Decimal(1000),
    "kilovoltampere": Decimal(1000),
    "kiloampere": Decimal(1000),
    "megohm": Decimal(1_000_000),
    "percent": Decimal("0.01"),
    "hour": 1 / Decimal(24),
    "minute": 1 / Decimal(1440),
    "pound_force_foot": Decimal(12),
    "newton_meter": 1 / Decimal("0.1129848290276167"),
}
"""Our units in terms of one unit of each kind, written down here a second time."""

CALLS = {
    "larger": max,
    "smaller": min,
    "sqrt": Decimal.sqrt,
    "round_up": lambda x: Decimal(x).to_integral_value(ROUND_CEILING),
    "round_down": lambda x: Decimal(x).to_integral_value(ROUND_FLOOR),
    "round_half_up": lambda x: Decimal(x).to_integral_value(ROUND_HALF_UP),
}


def plain(value: Quantity) -> Decimal:
    """Return the value as a bare decimal in base units, without the registry's conversions."""
    number = Decimal(value.magnitude)
    for unit, power in value.units._units.items():
        number *= BASE.get(unit, Decimal(1)) ** int(power)
    return number


def formulas(ledger: Ledger) -> list[Entry]:
    return [entry for entry in ledger if entry.formula]


@pytest.mark.parametrize("name", NAMES)
def test_the_verdict_is_the_one_the_demo_was_made_for(name: str) -> None:
    assert planned(name).ledger.verdict is EXPECTED[name]


@pytest.mark.parametrize("name", NAMES)
def test_every_formula_gives_its_value(name: str) -> None:
    """A printed formula that is not the arithmetic done would be a lie with a citation."""
    wrong = []
    for entry in formulas(planned(name).ledger):
        values = {symbol: plain(source.value) for symbol, source in entry.inputs}
        again = Decimal(eval(entry.formula, {"__builtins__": {}, **CALLS}, values))  # noqa: S307
        value = plain(entry.value)
        if abs(again - value) > Decimal("1e-9") * max(1, abs(value)):
            wrong.append((entry.name, entry.formula, again, value))
    assert wrong == []
    assert len(formulas(planned(name).ledger)) > 100


@pytest.mark.parametrize("name", NAMES)
def test_every_value_walks_back_to_given_values_and_cited_figures(name: str) -> None:
    file = str(next(path for path in JOBS if path.stem == name))

    def walk(entry: Entry, seen: tuple[str, ...]) -> None:
        assert entry.name not in seen, f"{entry.name} rests on itself"
        if entry.kind in (Kind.GIVEN, Kind.LABEL):
            assert entry.span is not None or entry.name == "panel.occupied_spaces", entry.name
            assert entry.span is None or entry.span.file == file
            return
        assert entry.cite, entry.name
        assert all(citation.section and citation.confirmed for citation in entry.cite), entry.name
        if entry.kind is Kind.FIGURE:
            assert not entry.inputs
        for _, source in entry.inputs:
            walk(source, (*seen, entry.name))

    for entry in planned(name).ledger:
        walk(entry, ())


@pytest.mark.parametrize("name", NAMES)
def test_every_check_has_words_for_its_verdict(name: str) -> None:
    ledger = planned(name).ledger
    for check in ledger.checks.values():
        said = finding(check, ledger)
        assert said.asks.endswith("?"), check.name
        assert said.says.endswith("."), check.name
        assert said.source, check.name
        assert said.who or check.verdict is not Verdict.ASK, f"{check.name}: who can tell?"


@pytest.mark.parametrize("name", NAMES)
def test_symbols_of_a_formula_stand_for_unlike_entries(name: str) -> None:
    for entry in formulas(planned(name).ledger):
        symbols = [symbol for symbol, _ in entry.inputs]
        assert len(symbols) == len(set(symbols))


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_shown_as_a_bare_python_value(name: str) -> None:
    for entry in planned(name).ledger:
        shown = show(entry)
        assert shown, entry.name
        assert "None" not in shown
        assert "{" not in shown
        assert words.word(entry.name).label


def test_the_stamp_is_the_same_each_time_and_unlike_between_jobs() -> None:
    stamps = {name: stamp(planned(name).ledger) for name in NAMES}
    planned.cache_clear()
    assert stamps == {name: stamp(planned(name).ledger) for name in NAMES}
    assert len(set(stamps.values())) == len(NAMES)


def test_the_full_service_names_what_would_put_it_right() -> None:
    """DO NOT START with no way on would leave the reader alone."""
    ledger = planned("full-service").ledger
    assert "load.service_needed" in ledger
    assert "load.measured_peak_that_carries" in ledger
    for method in ("standard", "optional", "existing"):
        assert ledger[f"load.{method}.current"].value > ledger["service.rating"].value


def test_open_questions_of_the_subpanel_job_are_asked_not_guessed() -> None:
    asked = {check.name for check in planned("cellar-subpanel").ledger.having(Verdict.ASK)}
    assert {"owner_may_do_work", "interrupting_rating_covers_fault"} <= asked
    assert any(name.startswith("terminal.") for name in asked)
