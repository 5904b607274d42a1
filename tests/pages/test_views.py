"""Sets that must not exist cannot be made."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packet.sheets.views import Outcome, SheetSet, Step
from tests.pages.fixtures import (
    CALCULATIONS,
    CARRY,
    DENT,
    DUST,
    FRAME,
    LIVE,
    LOAD,
    ORDINARY,
    PERMIT_SUMMARY,
    SCOPE,
    SHARP,
    SUMMARY,
    TORQUE,
)


def test_order_of_the_sheets() -> None:
    assert ORDINARY.letters == "ABCDEFGHJKLM"


@pytest.mark.parametrize("sheets", [(), (TORQUE, CARRY), (CARRY, CARRY)])
def test_missing_disordered_and_repeated_sheets_are_refused(sheets: tuple) -> None:  # type: ignore[type-arg]
    with pytest.raises(ValueError, match="not in the order"):
        SheetSet(FRAME, Outcome.READY, sheets)


@pytest.mark.parametrize("sheet", [*ORDINARY.sheets, SCOPE, PERMIT_SUMMARY], ids=lambda s: s.letter)
def test_a_shortfall_prints_summary_load_and_calculations_only(sheet: object) -> None:
    """A procedure for a job that falls short is the dangerous failure."""
    if sheet is SUMMARY:
        sheet = replace(SUMMARY, outcome=Outcome.DO_NOT_START)
    if sheet in (LOAD, CALCULATIONS) or getattr(sheet, "letter", "") == "A":
        assert SheetSet(FRAME, Outcome.DO_NOT_START, (sheet,)).sheets == (sheet,)  # type: ignore[arg-type]
    else:
        with pytest.raises(ValueError, match="must not be printed"):
            SheetSet(FRAME, Outcome.DO_NOT_START, (sheet,))  # type: ignore[arg-type]


@pytest.mark.parametrize("outcome", [Outcome.READY_IF, Outcome.DO_NOT_START])
def test_the_summary_tells_the_outcome_of_its_packet(outcome: Outcome) -> None:
    with pytest.raises(ValueError, match="outcome"):
        SheetSet(FRAME, outcome, (SUMMARY,))


def test_three_panels_before_one_step_are_refused() -> None:
    with pytest.raises(ValueError, match="more than two"):
        Step("1.1", "Do", "it.", hazards=(LIVE, DUST, SHARP))


def test_the_worst_panel_comes_first() -> None:
    assert Step("1.1", "Do", "it.", hazards=(DENT, LIVE)).panels == [LIVE, DENT]
    assert Step("1.1", "Do", "it.", hazards=(DUST, SHARP)).panels == [SHARP, DUST]
