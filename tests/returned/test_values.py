"""What people write into a blank is read as they meant it, or refused where it may mean two."""

from __future__ import annotations

from decimal import Decimal

import pytest

from packet.quantities import magnitude
from packet.returned.values import Unfit, measured


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("240 V", "V", "240"),
        ("240V", "V", "240"),
        ("239.8", "V", "239.8"),
        ("239,8", "V", "239.8"),
        ("239,8 volts", "V", "239.8"),
        ("240 VAC", "V", "240"),
        ("240 V AC", "V", "240"),
        ("240 V~", "V", "240"),
        ("120 mV", "V", "0.12"),
        ("0,125", "V", "0.125"),
        (".4", "V", "0.4"),
        ("0.2 kV", "V", "200"),
        ("\u22120.1 V", "V", "-0.1"),
        ("39.6 A", "A", "39.6"),
        ("39,6 amps", "A", "39.6"),
        ("0.32", "Ω", "0.32"),
        ("0.32 ohm", "Ω", "0.32"),
        ("0.32 \u2126", "Ω", "0.32"),
        ("320 mΩ", "Ω", "0.32"),
        ("320 milliohm", "Ω", "0.32"),
        ("1.2 kohm", "Ω", "1200"),
        ("1.2 k", "Ω", "1200"),
        ("20", "MΩ", "20"),
        ("20 MΩ", "MΩ", "20"),
        ("20 M", "MΩ", "20"),
        ("20 Megohms", "MΩ", "20"),
        ("20 megohm", "MΩ", "20"),
        ("500 kΩ", "MΩ", "0.5"),
        ("400 ohm", "MΩ", "0.0004"),
        ("2 GΩ", "MΩ", "2000"),
        ("45", "lbf_in", "45"),
        ("45 lbf-in", "lbf_in", "45"),
        ("45 in-lb", "lbf_in", "45"),
        ("45 in.lbs", "lbf_in", "45"),
        ("45\u00a0lbf·in", "lbf_in", "45"),
        ("3.75 ft-lb", "lbf_in", "45"),
        ("3,75 lb·ft", "lbf_in", "45"),
    ],
)
def test_a_value_with_or_without_a_unit(text: str, unit: str, number: str) -> None:
    assert magnitude(measured(text, unit).value, unit) == Decimal(number)


def test_a_torque_in_newton_metres_is_converted() -> None:
    """NIST SP 811: 1 lbf·in is 0.1129848 N·m, so 5.08 N·m are 44.96 lbf·in."""
    found = magnitude(measured("5,08 Nm", "lbf_in").value, "lbf_in")
    assert abs(found - Decimal("44.962")) < Decimal("0.001")


@pytest.mark.parametrize("text", ["OL", "O.L", "ol", "0L", "0.L", "open", "∞", "Infinite"])
@pytest.mark.parametrize("unit", ["Ω", "MΩ"])
def test_over_range_is_an_answer_of_an_ohmmeter_only(text: str, unit: str) -> None:
    found = measured(text, unit)
    assert (found.value, found.beyond) == (None, "above")
    with pytest.raises(Unfit, match="range"):
        measured(text, "V")


@pytest.mark.parametrize(
    ("text", "beyond"), [("> 20 MΩ", "above"), (">=20", "above"), ("<0.1", "below"), ("20", "")]
)
def test_more_than_and_less_than_are_kept(text: str, beyond: str) -> None:
    assert measured(text, "MΩ").beyond == beyond


@pytest.mark.parametrize(
    ("text", "unit", "why"),
    [
        ("fine", "V", "number"),
        ("", "V", "number"),
        ("240 / 120", "V", "unit"),
        ("1,000", "V", "thousands"),
        ("240,125 V", "V", "thousands"),
        ("240 A", "V", "unit"),
        ("45 N", "lbf_in", "unit"),
        ("5 ft", "lbf_in", "unit"),
        ("12 m", "V", "unit"),
    ],
)
def test_what_may_mean_two_things_or_none_is_refused(text: str, unit: str, why: str) -> None:
    """1,000 V and 1.000 V are a dead circuit and a live one."""
    with pytest.raises(Unfit, match=why):
        measured(text, unit)


def test_milli_and_mega_are_not_alike() -> None:
    assert measured("2 mΩ", "Ω").value * 10**9 == measured("2 MΩ", "Ω").value


@pytest.mark.parametrize(
    ("text", "step"), [("240", "1"), ("239.8", "0.1"), ("239,80", "0.01"), ("120 mV", "0.001")]
)
def test_the_last_digit_is_known(text: str, step: str) -> None:
    assert magnitude(measured(text, "V").step, "V") == Decimal(step)
