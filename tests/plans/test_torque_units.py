"""Sheet E: the blank of what was set names the unit in which the value beside it is printed."""

from __future__ import annotations

import pytest

from packet.sheets import forms
from tests.demos.conftest import planned

WHOLE = ["garage-receptacle", "driveway-pedestal", "cellar-subpanel"]


@pytest.mark.parametrize("name", WHOLE)
def test_the_blank_names_the_first_unit_of_the_value(name: str) -> None:
    plan = planned(name)
    assert plan.installed is not None
    rows = [row for group in forms.torque(plan.installed, plan.ledger).groups for row in group.rows]
    assert rows
    for row in rows:
        if row.required:
            assert row.required.split(" (")[0].endswith(f"\u00a0{row.unit}")
            assert row.unit
        else:
            assert row.unit == ""
