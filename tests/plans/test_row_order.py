"""Sheets E and F are filled from top to bottom: their rows stand in the order of the steps.

Common practice, no source: a form filled out of order is where rows are missed.
"""

from __future__ import annotations

import pytest

from packet.procedure import build_procedure
from packet.sheets.forms import rows
from tests.demos.conftest import planned

WHOLE = ["garage-receptacle", "driveway-pedestal", "cellar-subpanel"]


@pytest.mark.parametrize("sheet", ["E", "F"])
@pytest.mark.parametrize("name", WHOLE)
def test_rows_stand_in_the_order_in_which_the_steps_fill_them(name: str, sheet: str) -> None:
    plan = planned(name)
    assert plan.installed is not None
    steps = build_procedure(plan.ledger, rows(plan.installed), plan.book).blocks
    filled = [block.step.torque if sheet == "E" else block.step.reading for block in steps]
    numbers = [int(row.removeprefix(f"{sheet}-")) for row in filled if row]
    assert numbers
    assert numbers == sorted(numbers)
