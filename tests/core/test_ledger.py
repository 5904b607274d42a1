"""Entries, checks, the ledger and the one formatter."""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest

from packet.ledger import (
    Check,
    Citation,
    Entry,
    Kind,
    Ledger,
    Verdict,
    chosen,
    compare,
    computed,
    total,
)
from packet.quantities import ConductorSize, quantity
from packet.showing import (
    show,
    show_citation,
    show_formula,
    show_in_full,
    show_substituted,
)

RULE = Citation("NEC", "2023", "210.20(A)", "MEMORY")


def given(name: str, number: str, unit: str) -> Entry:
    return Entry(name, quantity(number, unit), Kind.GIVEN)


LOAD = given("continuous_load", "40", "A")
OTHER = given("noncontinuous_load", "7.5", "A")
FACTOR = Entry("continuous_load_factor", quantity("1.25"), Kind.FIGURE, (RULE,))


def minimum() -> Entry:
    return computed(
        "minimum_overcurrent_rating", "k * I_c + I_n", RULE, k=FACTOR, I_c=LOAD, I_n=OTHER
    )


def test_the_printed_formula_is_the_arithmetic_done() -> None:
    entry = minimum()
    assert entry.value == quantity("57.5", "A")
    assert show_formula(entry) == "k × I_c + I_n"
    assert show_substituted(entry) == "1.25 × 40\u00a0A + 7.5\u00a0A"
    assert show(entry) == "57.5\u00a0A"


@pytest.mark.parametrize(
    ("formula", "printed"),
    [
        ("k * (I_c + I_n)", "k × (I_c + I_n)"),
        ("I_c - (I_n - I_n * k)", "I_c \u2212 (I_n \u2212 I_n × k)"),
        ("larger(I_c, k * I_n)", "larger of(I_c; k × I_n)"),
        ("I_c / (k * 2) + I_n", "I_c ÷ (k × 2) + I_n"),
        ("round_up(sqrt(I_c ** 2 + I_n ** 2) * k)", "round up(√(I_c² + I_n²) × k)"),
    ],
)
def test_every_form_of_formula_prints_with_its_brackets(formula: str, printed: str) -> None:
    entry = computed(
        "minimum_overcurrent_rating",
        formula,
        RULE,
        k=FACTOR,
        I_c=LOAD,
        I_n=OTHER,
    )
    assert show_formula(entry) == printed
    plain = {"k": Decimal("1.25"), "I_c": Decimal(40), "I_n": Decimal("7.5")}
    calls = {
        "larger": max,
        "sqrt": lambda x: x.sqrt(),
        "round_up": lambda x: x.to_integral_value("ROUND_CEILING"),
    }
    assert entry.value.magnitude == eval(formula, calls, plain)  # noqa: S307


@pytest.mark.parametrize(
    ("name", "length", "unit", "brief", "in_full"),
    [
        # A longer route drops more voltage: up. A longer feeder weakens the fault: down.
        ("route.1.length", "9.5", "m", "31.2", "31.168"),  # 9.5 / 0.3048 = 31.16797...
        ("route.1.length", "31.2", "ft", "31.2", "31.2"),
        ("route.1.length", "31.2001", "ft", "31.3", "31.201"),
        ("feeder.length", "13.5", "m", "44.2", "44.291"),  # 44.29133...
        ("feeder.length", "44.3", "ft", "44.3", "44.3"),
        ("feeder.length", "44.2999", "ft", "44.2", "44.299"),
        ("voltage_drop_current", "46.875", "A", "46.88", "46.88"),
    ],
)
def test_a_length_is_brief_to_work_by_and_full_in_a_formula(
    name: str, length: str, unit: str, brief: str, in_full: str
) -> None:
    label = {"m": "ft"}.get(unit, unit)
    entry = given(name, length, unit)
    assert show(entry) == f"{brief}\u00a0{label}"
    assert show_in_full(entry) == f"{in_full}\u00a0{label}"


def test_a_formula_has_its_lengths_in_full() -> None:
    length = given("route.1.length", "9.5", "m")
    assert show_substituted(total("circuit.length", RULE, "L", [length])) == "31.168\u00a0ft"


def test_amperes_are_not_added_to_volts() -> None:
    with pytest.raises(pint.DimensionalityError):
        computed("continuous_load", "a + b", RULE, a=LOAD, b=given("nominal_voltage", "240", "V"))


def test_symbols_and_inputs_must_be_the_same_set() -> None:
    with pytest.raises(ValueError, match="are not its inputs"):
        computed("continuous_load", "a + b", RULE, a=LOAD)
    with pytest.raises(ValueError, match="are not its inputs"):
        computed("continuous_load", "a", RULE, a=LOAD, b=OTHER)


def test_a_figure_may_not_stand_in_a_formula() -> None:
    with pytest.raises(ValueError, match="belongs in the code book"):
        computed("continuous_load", "1.25 * a", RULE, a=LOAD)


def test_a_value_without_name_or_citation_is_refused() -> None:
    with pytest.raises(KeyError, match="not in the glossary"):
        Entry("made_up_name", quantity(1, "A"), Kind.GIVEN)
    with pytest.raises(ValueError, match="no citation"):
        Entry("continuous_load", quantity(1, "A"), Kind.COMPUTED)


def test_the_ledger_takes_inputs_along_and_refuses_two_values() -> None:
    ledger = Ledger()
    ledger.add(minimum())
    assert {"continuous_load", "continuous_load_factor"} <= set(ledger.entries)
    ledger.add(minimum())
    with pytest.raises(ValueError, match="two values"):
        ledger.add(given("continuous_load", "41", "A"))


def test_sum_of_parts_and_of_nothing() -> None:
    assert total("continuous_load", RULE, "I", [LOAD, OTHER]).value == quantity("47.5", "A")
    assert total("continuous_load", RULE, "I", []).value == quantity(0, "A")
    parts = total("continuous_load", RULE, "I", [LOAD, OTHER])
    assert parts.formula == "I1 + I2"
    assert parts.inputs == (("I1", LOAD), ("I2", OTHER))


@pytest.mark.parametrize(
    ("load", "verdict"),
    [("49.99", Verdict.MEETS), ("50", Verdict.MEETS), ("50.01", Verdict.FALLS_SHORT)],
)
def test_comparison_at_its_limit(load: str, verdict: Verdict) -> None:
    limit = given("continuous_load", "50", "A")
    check = compare(
        "rating_carries_load",
        limit,
        ">=",
        given("noncontinuous_load", load, "A"),
        RULE,
        remedy=FACTOR,
    )
    assert check.verdict is verdict
    assert (check.remedy is None) == (verdict is Verdict.MEETS)


@pytest.mark.parametrize(
    ("op", "number", "holds"),
    [
        *(("<=", number, holds) for number, holds in (("6.9", 1), ("7.5", 1), ("7.6", 0))),
        *((">=", number, holds) for number, holds in (("7.4", 0), ("7.5", 1), ("7.6", 1))),
        *(("=", number, holds) for number, holds in (("7.4", 0), ("7.5", 1), ("7.6", 0))),
    ],
)
def test_each_comparison_at_its_limit_with_the_verdict_asked_for(
    op: str, number: str, holds: int
) -> None:
    left = given("continuous_load", number, "A")
    check = compare(
        "x", left, op, OTHER, (RULE,), otherwise=Verdict.ASK, remedy=FACTOR, facts=(LOAD,)
    )
    assert check.verdict is (Verdict.MEETS if holds else Verdict.ASK)
    assert (check.left, check.op, check.right) == (left, op, OTHER)
    assert check.remedy == (None if holds else FACTOR)
    assert (check.cite, check.facts) == ((RULE,), (LOAD,))


@pytest.mark.parametrize(
    ("function", "number", "rounded"),
    [
        *(("round_up", number, up) for number, up in (("2", 2), ("2.01", 3), ("-2.01", -2))),
        *(("round_down", number, down) for number, down in (("2", 2), ("2.99", 2), ("-2.01", -3))),
        *(
            ("round_half_up", number, near)
            for number, near in (("2.49", 2), ("2.5", 3), ("2.6", 3))
        ),
    ],
)
def test_the_roundings_of_formulas(function: str, number: str, rounded: int) -> None:
    amperes = computed(
        "continuous_load", f"{function}(a)", RULE, a=given("noncontinuous_load", number, "A")
    )
    assert amperes.value == quantity(rounded, "A")
    plain = Entry("continuous_load_factor", quantity(number), Kind.FIGURE, (RULE,))
    ratio = computed("continuous_load_factor", f"{function}(a)", RULE, a=plain)
    assert ratio.value == quantity(rounded)


def test_a_ratio_is_a_plain_number_before_it_is_rounded() -> None:
    """3 m are 9.84 ft: ten pieces of one foot, not three."""
    metres, feet = given("route.1.length", "3", "m"), given("feeder.length", "1", "ft")
    pieces = computed("continuous_load_factor", "round_up(m / f)", RULE, m=metres, f=feet)
    assert pieces.value == quantity(10)
    whole = computed("continuous_load_factor", "round_up(1)", RULE)
    assert whole.value == quantity(1)


def test_the_worst_check_is_the_verdict_of_the_packet() -> None:
    ledger = Ledger()
    assert ledger.verdict is Verdict.MEETS
    for name, verdict, whole in (
        ("a", Verdict.NOTE, Verdict.MEETS),
        ("b", Verdict.ASK, Verdict.ASK),
        ("c", Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("d", Verdict.MEETS, Verdict.FALLS_SHORT),
    ):
        ledger.judge(Check(name, verdict, (RULE,)))
        assert ledger.verdict is whole
    with pytest.raises(ValueError, match="two answers"):
        ledger.judge(Check("a", Verdict.MEETS, (RULE,)))


def test_choices_and_citations_print() -> None:
    entry = chosen("conductor_size", ConductorSize("6 AWG"), RULE, limit=LOAD)
    assert show(entry) == "6\u00a0AWG"
    assert show_citation(Citation("NEC", "2023", "Table 310.16", "MEMORY", "6 AWG, copper")) == (
        "NEC\u00a02023 Table\u00a0310.16, 6 AWG, copper"
    )
