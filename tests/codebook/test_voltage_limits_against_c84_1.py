"""Voltage limits against the percentages of ANSI C84.1 and a state regulation with the same band.

Published sources: utility paper "Voltage Tolerance Boundary", 1999, figure 1 (ranges of
C84.1 on a 120 V base); COMAR 20.50.07.02 (Maryland): 120 V and 240 V within 5 %. The
percentages of the later utilization limits are from memory.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.codebook.reading import cells

LIMITS = cells("voltage_limits")

PERCENT = {
    ("A", "service", "all"): ("-5.0", "5.0"),
    ("B", "service", "all"): ("-8.3", "5.8"),
    ("A", "utilization", "to 2006"): ("-8.3", "5.0"),
    ("B", "utilization", "to 2006"): ("-11.7", "5.8"),
    ("A", "utilization", "2011 on"): ("-10.0", "5.0"),
    ("B", "utilization", "2011 on"): ("-13.3", "5.8"),
}


@pytest.mark.parametrize("row", LIMITS, ids=lambda r: f"{r['range']}-{r['point']}-{r['nominal']}")
def test_every_limit_is_its_percentage_of_the_nominal(row: dict[str, Decimal]) -> None:
    printed = PERCENT[str(row["range"]), str(row["point"]), str(row["issue"])]
    for limit, percent in zip((row["lowest"], row["highest"]), printed, strict=True):
        exact = (limit / row["nominal"] - 1) * 100
        assert abs(exact - Decimal(percent)) <= Decimal("0.05")


def test_both_nominals_have_all_six_lines() -> None:
    for nominal in (120, 240):
        found = {(r["range"], r["point"], r["issue"]) for r in LIMITS if r["nominal"] == nominal}
        assert found == PERCENT.keys()


def test_range_a_of_the_service_is_the_band_of_the_maryland_regulation() -> None:
    ours = {
        row["nominal"]: (row["lowest"], row["highest"])
        for row in LIMITS
        if (row["range"], row["point"]) == ("A", "service")
    }
    assert ours == {120: (114, 126), 240: (228, 252)}


def test_range_b_holds_range_a() -> None:
    inner = {(r["point"], r["issue"], r["nominal"]): r for r in LIMITS if r["range"] == "A"}
    outer = {(r["point"], r["issue"], r["nominal"]): r for r in LIMITS if r["range"] == "B"}
    assert inner.keys() == outer.keys()
    for key, row in inner.items():
        assert outer[key]["lowest"] < row["lowest"]
        assert outer[key]["highest"] > row["highest"]
