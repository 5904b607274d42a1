"""Ampacity, its corrections and its dwelling table against the heat balance of a conductor.

Published sources: the equation of NEC 310.15 (2017 310.15(C), after Neher and McGrath,
"The calculation of the temperature rise and load capability of cable systems", AIEE
Transactions 1957): current squared is temperature rise over resistance. Temperature
coefficients 0.00323 and 0.00330 per °C at 75 °C: note to NEC Chapter 9 Table 8.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from tests.codebook.reading import awg, cells, half_a_digit

AMPACITY = cells("conductor_ampacity")
CORRECTION = cells("ambient_correction")
DWELLING = cells("dwelling_service")
COLUMNS = [f"{material}_{rating}" for material in ("copper", "aluminum") for rating in (60, 75, 90)]


@pytest.mark.parametrize("rating", [60, 75, 90])
def test_every_ambient_correction_is_the_root_of_the_ratio_of_temperature_rises(
    rating: int,
) -> None:
    """factor = sqrt((Tc - Ta) / (Tc - 30)) at the upper end of the band."""
    tested = 0
    for row in CORRECTION:
        printed, ambient = row[f"conductor_{rating}"], row["up_to"]
        if printed is None:
            assert ambient >= rating - 4, "a factor is missing where the conductor could carry"
            continue
        exact = ((rating - ambient) / Decimal(rating - 30)).sqrt()
        assert abs(exact - printed) <= half_a_digit(printed), (ambient, rating)
        tested += 1
    assert tested == {60: 10, 75: 13, 90: 16}[rating]


def test_the_bands_follow_each_other_by_five_degrees() -> None:
    ends = [row["up_to"] for row in CORRECTION]
    assert ends == [Decimal(end) for end in range(10, 86, 5)]


@pytest.mark.parametrize("column", COLUMNS)
def test_a_larger_conductor_carries_more(column: str) -> None:
    values = [row[column] for row in AMPACITY if row[column] is not None]
    assert len(values) >= 18
    assert all(small < large for small, large in pairwise(values))


def test_a_hotter_column_and_the_better_metal_carry_more() -> None:
    for row in AMPACITY:
        for material in ("copper", "aluminum"):
            cold, warm, hot = (row[f"{material}_{rating}"] for rating in (60, 75, 90))
            if cold is not None:
                assert cold < warm < hot, row["size"]
        for rating in (60, 75, 90):
            if row[f"aluminum_{rating}"] is not None:
                assert row[f"aluminum_{rating}"] < row[f"copper_{rating}"], row["size"]


@pytest.mark.parametrize(("material", "alpha"), [("copper", "0.00323"), ("aluminum", "0.00330")])
@pytest.mark.parametrize(("cold", "hot"), [(60, 75), (75, 90)])
def test_the_columns_stand_to_each_other_as_the_heat_balance_says(
    material: str, alpha: str, cold: int, hot: int
) -> None:
    """Within 6 %, which rounding to 5 A explains; sizes below 8 AWG are rounded too coarsely."""

    def resistance(temperature: int) -> Decimal:
        return 1 + Decimal(alpha) * (temperature - 75)

    rise = Decimal(hot - 30) / Decimal(cold - 30)
    expected = (rise * resistance(cold) / resistance(hot)).sqrt()
    rows = [row for row in AMPACITY if row["size"] not in ("14 AWG", "12 AWG", "10 AWG")]
    assert len(rows) == 16
    for row in rows:
        ratio = row[f"{material}_{hot}"] / row[f"{material}_{cold}"]
        assert abs(ratio / expected - 1) < Decimal("0.06"), row["size"]


def test_aluminum_stands_to_copper_as_the_root_of_its_conductivity() -> None:
    """61 % conductivity (NBS Handbook 109): 0.781 at 75 °C; 10 AWG is rounded too coarsely."""
    for row in AMPACITY:
        if row["aluminum_75"] is not None and row["size"] != "10 AWG":
            ratio = row["aluminum_75"] / row["copper_75"]
            assert Decimal("0.74") < ratio < Decimal("0.82"), row["size"]


@pytest.mark.parametrize("material", ["copper", "aluminum"])
def test_every_dwelling_size_is_the_smallest_that_carries_83_percent(material: str) -> None:
    """NEC 310.12: 83 % of the rating, against the 75 °C column of the ampacity table."""
    tested = 0
    for row in DWELLING:
        needed = Decimal("0.83") * row["rating"]
        enough = [one["size"] for one in AMPACITY if (one[f"{material}_75"] or 0) >= needed]
        assert row[material] == enough[0], row["rating"]
        tested += 1
    assert tested == 11


def test_gauge_numbers_are_in_the_order_of_the_trade() -> None:
    gauges = [awg(row["size"]) for row in AMPACITY if awg(row["size"]) is not None]
    assert gauges == [14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3]
