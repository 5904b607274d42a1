"""Exact quantities, ordered sizes and their printed form."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from packet.quantities import (
    UNIT_LABELS,
    UNIT_SPELLINGS,
    ConductorSize,
    Quantity,
    TradeSize,
    magnitude,
    parse_quantity,
    quantity,
    show_number,
    with_unit,
)


def test_products_that_binary_floats_get_wrong_are_exact() -> None:
    """0.7 x 90 A is 63 A exactly; a float would put it under the limit."""
    assert quantity("0.7") * quantity(90, "A") >= quantity(63, "A")
    assert 0.7 * 90 < 63


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # NIST SP 811 (2008), appendix B.8: exact or tabulated conversion factors
        (quantity(1, "ft"), quantity("0.3048", "m")),
        (quantity(1, "in"), quantity("2.54", "cm")),
        (quantity(1, "lbf_in"), quantity("0.1129848", "N_m")),
        (quantity(1, "lbf_ft"), quantity("1.355818", "N_m")),
        (quantity(1, "kft"), quantity(1000, "ft")),
    ],
)
def test_units_agree_with_published_factors(one: Quantity, other: Quantity) -> None:
    assert abs(one.to(other.units).magnitude / other.magnitude - 1) < Decimal("1e-6")


@pytest.mark.parametrize("unit", [unit for unit in UNIT_LABELS if unit])
def test_every_printable_unit_is_known_to_the_registry(unit: str) -> None:
    assert quantity(1, unit).to(unit).magnitude == 1


def test_every_spelling_leads_to_a_unit_of_the_registry() -> None:
    for expression in set(UNIT_SPELLINGS.values()) - {"degF"}:
        quantity(1, expression)


@pytest.mark.parametrize(
    ("text", "allowed", "number", "unit"),
    [
        ("38 ft", ("ft", "m"), "38", "ft"),
        ("11.5m", ("ft", "m"), "11.5", "m"),
        ("1840 ft²", ("ft**2",), "1840", "ft**2"),
        ("95 °F", ("degC",), "35", "degC"),
        ("104 degF", ("degC",), "40", "degC"),
        ("40 lb-in", ("lbf_in",), "40", "lbf_in"),
        ("6.25 %", ("%",), "6.25", "%"),
        ("3", ("",), "3", ""),
    ],
)
def test_reads_number_and_unit(text: str, allowed: tuple[str, ...], number: str, unit: str) -> None:
    value = parse_quantity(text, allowed)
    assert magnitude(value, unit or "dimensionless") == Decimal(number)


@pytest.mark.parametrize(
    "text",
    ["", "ft", "38", "12,5 ft", "3 1/2 ft", "1/0 ft", "1e3 ft", "nan ft", "inf ft", "38 kg",
     "+-3 ft", "38 ft ft", "0x10 ft", "３８ ft", "38 m**2", "10 M", "5 mil"],
)  # fmt: skip
def test_refuses_everything_else(text: str) -> None:
    with pytest.raises(ValueError, match="`"):
        parse_quantity(text, ("ft", "m"))


def test_power_kinds_are_kept_apart_by_the_field() -> None:
    """VA and W have one dimension; only the field's list keeps them apart."""
    with pytest.raises(ValueError, match="not a unit this value takes"):
        parse_quantity("12 kW", ("VA", "kVA"))


def test_conductor_sizes_are_ordered_by_area() -> None:
    names = ["18", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
             "250", "300", "350", "400", "500", "600", "750", "1000"]  # fmt: skip
    sizes = [ConductorSize.parse(name) for name in names]
    assert sizes == sorted(sizes)
    assert ConductorSize.parse("40") < ConductorSize.parse("1") < ConductorSize.parse("1/0")
    assert ConductorSize.parse("4/0") < ConductorSize.parse("250")
    assert not ConductorSize.parse("6") < ConductorSize.parse("6")
    assert len({size.rank for size in sizes}) == len(names)


@pytest.mark.parametrize(
    "text",
    [
        "0",
        "41 AWG",
        "5/0",
        "6 mm",
        "249 kcmil",
        "6.0",
        "-6",
        "AWG",
        "1/1",
        "0 AWG",
        "300 mm",
        "x kcmil",
        "six AWG",
    ],
)
def test_other_conductor_sizes_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="not a conductor size"):
        ConductorSize.parse(text)


def test_sizes_have_no_arithmetic() -> None:
    with pytest.raises(TypeError):
        ConductorSize("6 AWG") + ConductorSize("4 AWG")  # type: ignore[operator]
    with pytest.raises(TypeError):
        assert ConductorSize("6 AWG") < 4


def test_trade_sizes_are_ordered_by_inches() -> None:
    names = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"]
    assert [TradeSize(name) for name in names] == sorted(TradeSize(name) for name in names)
    assert TradeSize.parse('1 1/4"') == TradeSize("1-1/4")
    assert TradeSize("1-1/4").inches == Fraction(5, 4)
    assert not TradeSize("1") < TradeSize("1")
    with pytest.raises(TypeError):
        assert TradeSize("1") < 4
    with pytest.raises(ValueError, match="not a trade size"):
        TradeSize("1.25")


@pytest.mark.parametrize(
    ("number", "places", "toward", "shown"),
    [
        ("46.875", 2, "nearest", "46.88"),
        ("46.871", 2, "up", "46.88"),
        ("46.879", 2, "down", "46.87"),
        ("-46.871", 2, "up", "\u221246.87"),
        ("-46.871", 2, "down", "\u221246.88"),
        ("46.874", 2, "nearest", "46.87"),
        ("46.876", 2, "nearest", "46.88"),
        ("50", 2, "up", "50"),
        ("0.4", 0, "nearest", "0"),
        ("-0.4", 0, "nearest", "0"),
        ("77.5", 0, "nearest", "78"),
        ("78.5", 0, "nearest", "79"),
        ("18600", 0, "nearest", "18,600"),
        ("-1234.5", 1, "nearest", "\u22121,234.5"),
        ("100", 0, "nearest", "100"),
    ],
)
def test_shown_once_and_never_toward_danger(
    number: str, places: int, toward: str, shown: str
) -> None:
    assert show_number(Decimal(number), places, toward) == shown  # type: ignore[arg-type]


def test_money_keeps_its_cents_and_units_do_not_break() -> None:
    assert with_unit(show_number(Decimal("256.5"), 2, fixed=True), "USD") == "$\u00a0256.50"
    assert with_unit("45", "lbf_in") == "45\u00a0lbf·in"
    assert with_unit("1", "d") == "1\u00a0day"
    assert with_unit("270", "deg") == "270°"
