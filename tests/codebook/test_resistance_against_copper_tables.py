"""Resistance and reactance tables against wire geometry and the resistivity of the metals.

Published sources: ASTM B258 (AWG diameters: 39 equal ratios from 0.0050 in to 0.4600 in);
NBS Handbook 100, Copper Wire Tables, 1966 (100 % IACS: 0.017241 Ω·mm²/m at 20 °C, 0.00393
per °C; resistances at 20 °C); NBS Handbook 109, Aluminum Wire Tables, 1972 (61 % IACS,
0.00403 per °C); IEC 60028 (the same copper figure). The effective impedance formula is
note 2 of NEC Chapter 9 Table 9.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from tests.codebook.reading import PI, awg, cells, half_a_digit

RESISTANCE = cells("conductor_resistance")
IMPEDANCE = cells("conductor_impedance")

SQUARE_MILLIMETERS_IN_A_CIRCULAR_MIL = PI / 4 * Decimal("0.0254") ** 2
METERS_IN_A_KILOFOOT = Decimal("304.8")
RESISTIVITY = {"copper": Decimal("0.017241"), "aluminum": Decimal("0.017241") / Decimal("0.61")}
COEFFICIENT = {"copper": Decimal("0.00393"), "aluminum": Decimal("0.00403")}
LAY_OF_STRANDS = {"solid": Decimal(1), "stranded": Decimal("1.02")}
"""Concentric strands are longer than the conductor by about 2 % (common practice)."""

BUNDLE = {
    1: Decimal(1),
    7: 3 / Decimal(7).sqrt(),
    19: 5 / Decimal(19).sqrt(),
    37: 7 / Decimal(37).sqrt(),
}
"""Overall diameter of round strands laid in full layers, over that of one solid wire."""


def diameter(gauge: int) -> Decimal:
    """ASTM B258: diameter in inches."""
    return Decimal("0.005") * Decimal(92) ** (Decimal(36 - gauge) / 39)


def test_every_circular_mil_area_follows_astm_b258() -> None:
    """Within 0.15 %: the table keeps four figures and rounds a few gauges by hand."""
    tested = 0
    for row in RESISTANCE:
        gauge = awg(row["size"])
        if gauge is None:
            assert row["area"] == 1000 * Decimal(row["size"].split()[0])
        else:
            exact = (1000 * diameter(gauge)) ** 2
            assert abs(row["area"] / exact - 1) < Decimal("0.0015"), row["size"]
        tested += 1
    assert tested == 22


PRINTED_DIAMETERS = {
    "4/0": "0.4600", "3/0": "0.4096", "2/0": "0.3648", "1/0": "0.3249", "1": "0.2893",
    "2": "0.2576", "3": "0.2294", "4": "0.2043", "6": "0.1620", "8": "0.1285", "10": "0.1019",
    "12": "0.0808", "14": "0.0641",
}  # fmt: skip
"""ASTM B258 as printed in two wire tables on the web (hyperphysics.gsu.edu, wp.1728.org)."""


@pytest.mark.parametrize(("size", "printed"), PRINTED_DIAMETERS.items())
def test_the_geometry_gives_the_printed_astm_diameters(size: str, printed: str) -> None:
    gauge = awg(f"{size} AWG")
    assert gauge is not None
    assert abs(diameter(gauge) - Decimal(printed)) <= Decimal("0.00011")
    for row in RESISTANCE:
        if row["size"] == f"{size} AWG":
            exact = Decimal(printed) * BUNDLE[int(row["wires"])]
            assert abs(exact - row["diameter"]) <= Decimal("0.0011"), row["stranding"]


def test_every_overall_diameter_is_that_of_its_strands() -> None:
    """Within 0.0015 in; concentric strands in full layers of 1, 7, 19 and 37."""
    for row in RESISTANCE:
        solid = row["area"].sqrt() / 1000
        exact = solid * BUNDLE[int(row["wires"])]
        assert abs(exact - row["diameter"]) <= Decimal("0.0015"), (row["size"], row["stranding"])
        assert (row["wires"] == 1) == (row["stranding"] == "solid")


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_every_resistance_follows_from_resistivity_and_area(metal: str) -> None:
    """Within 0.55 %: rounding to three figures alone allows 0.5 %."""
    for row in RESISTANCE:
        square_mm = row["area"] * SQUARE_MILLIMETERS_IN_A_CIRCULAR_MIL
        hot = RESISTIVITY[metal] * (1 + COEFFICIENT[metal] * (75 - 20))
        exact = hot / square_mm * METERS_IN_A_KILOFOOT * LAY_OF_STRANDS[row["stranding"]]
        assert abs(row[metal] / exact - 1) < Decimal("0.0055"), (row["size"], row["stranding"])


AT_20_DEGREES = {
    "4/0": "0.04901", "3/0": "0.06180", "2/0": "0.07793", "1/0": "0.09827", "1": "0.1239",
    "2": "0.1563", "3": "0.1970", "4": "0.2485", "6": "0.3951", "8": "0.6282", "10": "0.9989",
    "12": "1.588", "14": "2.525",
}  # fmt: skip
"""NBS Handbook 100, ohms per 1000 ft of annealed copper at 20 °C (hyperphysics.gsu.edu wire
table; four figures for 4/0 to 1 AWG from memory)."""


@pytest.mark.parametrize("size", AT_20_DEGREES)
def test_copper_at_75_degrees_is_the_nbs_resistance_made_warm(size: str) -> None:
    warm = Decimal(AT_20_DEGREES[size]) * (1 + Decimal("0.00393") * 55)
    rows = [row for row in RESISTANCE if row["size"] == f"{size} AWG"]
    assert rows
    for row in rows:
        exact = warm * LAY_OF_STRANDS[row["stranding"]]
        assert abs(row["copper"] / exact - 1) < Decimal("0.0085"), row["stranding"]


TEXTBOOK = {
    "solid": {"14": "3.07", "12": "1.93", "10": "1.21", "8": "0.764"},
    "stranded": {
        "14": "3.14", "12": "1.98", "10": "1.24", "8": "0.778", "6": "0.491", "4": "0.308",
        "3": "0.245", "2": "0.194", "1": "0.154", "1/0": "0.122", "2/0": "0.0967",
        "3/0": "0.0766", "4/0": "0.0608",
    },
}  # fmt: skip
ALUMINUM_COPY = {
    "12": "3.25", "10": "2.04", "8": "1.28", "6": "0.808", "4": "0.508", "3": "0.403",
    "2": "0.319", "1": "0.253", "1/0": "0.201", "2/0": "0.159", "3/0": "0.126", "4/0": "0.100",
}  # fmt: skip


def test_the_cells_are_those_of_a_second_copy_of_the_table() -> None:
    """Copper: textbook Modern Commercial Wiring, 2018, p. 87; aluminum: sfasoft.com copy."""
    ours = {(row["stranding"], row["size"]): row for row in RESISTANCE}
    for stranding, copies in TEXTBOOK.items():
        for size, printed in copies.items():
            assert ours[stranding, f"{size} AWG"]["copper"] == Decimal(printed), size
    for size, printed in ALUMINUM_COPY.items():
        assert ours["stranded", f"{size} AWG"]["aluminum"] == Decimal(printed), size


RACEWAY = {
    "pvc": "reactance_nonmagnetic",
    "aluminum_raceway": "reactance_nonmagnetic",
    "steel": "reactance_steel",
}


def test_every_effective_impedance_is_085_r_plus_0527_x() -> None:
    """All 105 cells; a difference is no larger than the printed places of R, X and Z explain."""
    sine = (1 - Decimal("0.85") ** 2).sqrt()
    tested = 0
    for row in IMPEDANCE:
        for metal in ("copper", "aluminum"):
            for raceway, reactance in RACEWAY.items():
                z, r = row[f"effective_{metal}_{raceway}"], row[f"{metal}_{raceway}"]
                if z is None:
                    assert (metal, row["size"]) == ("aluminum", "14 AWG")
                    continue
                x = row[reactance]
                exact = Decimal("0.85") * r + sine * x
                slack = half_a_digit(z) + Decimal("0.85") * half_a_digit(r)
                slack += sine * half_a_digit(x)
                assert abs(z - exact) <= slack, (row["size"], metal, raceway)
                tested += 1
    assert tested == 105


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_ac_resistance_in_plastic_is_the_dc_resistance_or_a_little_more(metal: str) -> None:
    """Two printed figures and skin effect under 3 % to 500 kcmil: -4.5 % to +6 %."""
    stranded = {row["size"]: row for row in RESISTANCE if row["stranding"] == "stranded"}
    for row in IMPEDANCE:
        if row[f"{metal}_pvc"] is not None:
            ratio = row[f"{metal}_pvc"] / stranded[row["size"]][metal]
            assert Decimal("0.955") < ratio < Decimal("1.06"), row["size"]


def test_impedance_falls_with_size_and_steel_reacts_more() -> None:
    for small, large in pairwise(IMPEDANCE):
        for column in ("copper_pvc", "copper_steel", "effective_copper_pvc"):
            assert large[column] < small[column], large["size"]
    for row in IMPEDANCE:
        ratio = row["reactance_steel"] / row["reactance_nonmagnetic"]
        assert Decimal("1.2") < ratio < Decimal("1.3"), row["size"]
