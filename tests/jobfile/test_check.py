"""Values: what a key takes, just inside and just outside; what must agree; what is kept."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from packet.codebook import EDITIONS, Book
from packet.jobfile import JobFaults, load_job
from packet.jobfile.model import Given, Section, Unknown
from packet.jobfile.schema import Key, keys, signs
from packet.jobfile.values import Unfit, value_of
from packet.quantities import SIZES_MADE, ConductorSize, TradeSize, magnitude, quantity
from packet.resources import font_file

ROOT = Path(__file__).parents[2]
BASE = (ROOT / "tests" / "errors" / "good_base.yaml").read_text("utf-8")


def job_with(folder: Path, *changes: tuple[str, str], more: str = "") -> Any:
    text = BASE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    file = folder / "job.yaml"
    file.write_text(text + more)
    return load_job(file)


def codes(folder: Path, *changes: tuple[str, str], more: str = "") -> list[str]:
    with pytest.raises(JobFaults) as caught:
        job_with(folder, *changes, more=more)
    return [problem.code for problem in caught.value.problems]


LIMITED = [
    key
    for key in keys().values()
    if key.type in ("quantity", "quantities", "count", "number") and key.low
]


def nudged(text: str, by: str) -> str:
    number, _, unit = text.partition(" ")
    step = Decimal(by)
    return f"{Decimal(number) + step:f} {unit}".strip()


@pytest.mark.parametrize("key", LIMITED, ids=lambda key: key.path)
def test_the_sane_range_holds_at_both_ends(key: Key) -> None:
    """At the limit is allowed, just beyond it is not, in each dimension that the key takes."""
    step = "1" if key.type == "count" else "0.001"
    for low in key.low:
        value_of(key, low)
        with pytest.raises(Unfit):
            value_of(key, nudged(low, f"-{step}"))
    for high in key.high:
        value_of(key, high)
        with pytest.raises(Unfit) as caught:
            value_of(key, nudged(high, step))
        assert caught.value.code == "J022"


SIZES = ["26 AWG", *(size.name for size in SIZES_MADE)]


def beside(key: Key, limit: str, step: int) -> str:
    """Return the next day or the next size."""
    if key.type == "date":
        return (date.fromisoformat(limit) + timedelta(step)).isoformat()
    return SIZES[SIZES.index(limit) + step]


@pytest.mark.parametrize(
    "key",
    [key for key in keys().values() if key.type in ("date", "conductor")],
    ids=lambda key: key.path,
)
def test_dates_and_sizes_at_the_ends_of_the_range(key: Key) -> None:
    (low,), (high,) = key.low, key.high
    for text, step in ((low, -1), (high, 1)):
        value_of(key, text)
        value_of(key, beside(key, text, -step))
        with pytest.raises(Unfit) as caught:
            value_of(key, beside(key, text, step))
        assert (caught.value.code, caught.value.words) == ("J022", {"low": low, "high": high})


@pytest.mark.parametrize("key", LIMITED, ids=lambda key: key.path)
def test_each_unit_of_a_key_has_one_range(key: Key) -> None:
    """A unit whose kind has no limits would let anything pass."""
    lows, highs = ([value_of(key, text) for text in ends] for ends in (key.low, key.high))
    for low, high in zip(lows, highs, strict=True):
        assert low.dimensionality == high.dimensionality
        assert low < high
    for unit in key.units:
        assert sum(low.is_compatible_with(unit) for low in lows) == 1, unit


@pytest.mark.parametrize("text", ["13", "11 AWG", "9", "7 AWG", "5", "275 kcmil", "450 kcmil"])
def test_a_size_that_nobody_makes_is_refused(text: str) -> None:
    """No table has a row for it; `sized as typed` would end nowhere."""
    with pytest.raises(Unfit) as caught:
        value_of(keys()["circuit.equipment_grounding"], text)
    assert (caught.value.code, caught.value.case) == ("J023", "made")


def test_sizes_made_are_in_order_and_hold_those_of_the_tables() -> None:
    assert list(SIZES_MADE) == sorted(set(SIZES_MADE))
    for table in ("conductor_ampacity", "conductor_resistance", "box_allowance"):
        assert {row["size"] for row in Book("2023").table(table).rows()} <= set(SIZES_MADE)


def test_the_year_one_is_no_date_of_a_job() -> None:
    for text in ("0001-01-01", "9999-12-31"):
        with pytest.raises(Unfit):
            value_of(keys()["work.written"], text)


@pytest.mark.parametrize("key", LIMITED, ids=lambda key: key.path)
def test_what_only_a_machine_calls_a_number_is_refused(key: Key) -> None:
    unit = key.units[0] if key.units else ""
    for number in ("NaN", "nan", "inf", "-inf", "1e9", "1e400", "0x10", "1_0", "+5", ".5", "5."):
        with pytest.raises(Unfit) as caught:
            value_of(key, f"{number} {unit}".strip())
        assert caught.value.code in ("J020", "J021", "J028", "J029")


def test_a_text_takes_the_signs_that_the_pages_can_show_and_no_others() -> None:
    """Of any other sign the renderer would look for the machine's own fonts, or draw a box."""
    faces = [TTFont(font_file(name)).getBestCmap().keys() for name in ("sans", "sans-bold")]
    shown = {
        sign
        for sign in map(chr, set.intersection(*map(set, faces)))
        if sign in " \u00a0" or unicodedata.category(sign)[0] in "LMNPS"
    }
    assert signs() == shown - {"\ufffd"}
    assert not {sign for sign in signs() if sign.isspace()} - {" ", "\u00a0"}


@pytest.mark.parametrize(
    "key", [key for key in keys().values() if key.type == "text"], ids=lambda key: key.path
)
def test_no_text_takes_a_sign_that_cannot_be_seen(key: Key) -> None:
    for sign in (*"\u200b\u200d\u2060\u00ad\u200e\u061c\ufe0f\ufffd\U000e0041", "漢", "🔌"):
        with pytest.raises(Unfit) as caught:
            value_of(key, f"a{sign}b")
        assert (caught.value.code, caught.value.sign) == ("J031", sign)


def test_letters_of_three_scripts_and_marks_of_their_own_are_text() -> None:
    for text in ("Ærø Øystein Łódź", "e\u0301tage", "Ωμέγα", "Київ", "½ in × 3 °C ≥ “so”"):
        assert value_of(keys()["work.title"], text) == text


@pytest.mark.parametrize(
    "key",
    [k for k in keys().values() if k.type in ("list", "choices", "quantities", "spaces")],
    ids=lambda key: key.path,
)
def test_no_list_goes_on_for_ever(key: Key) -> None:
    assert key.at_least < key.at_most <= 300


def test_the_longest_list_and_one_more(tmp_path: Path) -> None:
    line = "    - {name: Range, kind: range, rating: 11.6 kW}\n"
    job_with(tmp_path, (line, line * 100))
    assert codes(tmp_path, (line, line * 101)) == ["J019"]


@pytest.mark.parametrize(
    ("path", "text", "value"),
    [
        ("route.*.length", "38 ft", quantity("38", "ft")),
        ("route.*.length", "9.5 m", quantity("9.5", "m")),
        ("route.*.ambient", "86 degF", quantity("30", "degC")),
        ("dwelling.loads.*.rating", "9.6 kW", quantity("9.6", "kW")),
        ("dwelling.loads.*.count", "3", quantity("3", "each")),
        ("terminals.*.torque", "5 N·m", quantity("5", "N_m")),
        ("prices.sales_tax", "5.75 %", quantity("5.75", "%")),
        ("circuit.power_factor", "0.99", quantity("0.99")),
        ("circuit.conductor", "6", ConductorSize("6 AWG")),
        ("route.*.trade_size", "1 1/4 in", TradeSize("1-1/4")),
        ("circuit.detached_building", "no", False),
        ("panel.kind", "subpanel", "subpanel"),
    ],
)
def test_a_value_in_its_own_type_and_unit(path: str, text: str, value: object) -> None:
    got = value_of(keys()[path], text)
    assert got == value
    if hasattr(value, "units"):
        assert got.units == value.units


def fault_of(key: Key, text: str) -> str:
    try:
        value_of(key, text)
    except Unfit as unfit:
        return unfit.code
    return ""


@settings(max_examples=150, deadline=None, derandomize=True)
@given(text=st.text(max_size=20))
@pytest.mark.parametrize("path", ["route.*.length", "circuit.conductor", "route.*.trade_size"])
def test_any_text_is_a_value_or_a_fault(path: str, text: str) -> None:
    assert re.fullmatch("J[0-9]{3}|", fault_of(keys()[path], text))


def test_what_is_left_out_is_none_and_what_is_unknown_is_kept(tmp_path: Path) -> None:
    job = job_with(tmp_path, ("  bus_rating: 200 A", "  bus_rating: unknown"))
    assert job.boxes is None
    assert job.terminals is None
    assert job.circuit.overcurrent_device is None
    assert job.panel.main_rating is None
    bus = job.panel.bus_rating
    assert isinstance(bus, Unknown)
    assert bus.unknown
    assert bus.value is None
    assert (bus.path, bus.span.column, bus.span.length) == ("panel.bus_rating", 15, 7)
    assert not job.service.rating.unknown


def test_a_name_may_be_the_word_unknown(tmp_path: Path) -> None:
    job = job_with(tmp_path, ("name: Maren Oduya", "name: unknown"))
    assert job.people.owner.name.value == "unknown"


def test_paths_count_from_one(tmp_path: Path) -> None:
    job = job_with(tmp_path)
    assert job.route[1].length.path == "route.2.length"
    assert job.route[1].path == "route.2"
    assert job.panel.breakers[0].spaces.value == (1, 3)


BREAKER = '    - {spaces: [1, 3], rating: 50 A, serves: "Range, kitchen"}'


def breaker(spaces: str, more: str = "") -> tuple[str, str]:
    return BREAKER, f"{BREAKER}\n    - {{spaces: {spaces}, rating: 20 A, serves: Pump{more}}}"


def test_the_last_space_of_the_panel_and_the_one_after(tmp_path: Path) -> None:
    job_with(tmp_path, breaker("[30]"))
    assert codes(tmp_path, breaker("[31]")) == ["J042"]


def test_tandem_halves_share_a_space_and_whole_breakers_do_not(tmp_path: Path) -> None:
    halves = breaker("[6], tandem: upper")
    other = (
        "serves: Laundry}",
        "serves: Laundry}\n    - {spaces: [6], rating: 15 A, serves: Hall%s}",
    )
    job_with(tmp_path, halves, (other[0], other[1] % ", tandem: lower"))
    assert codes(tmp_path, halves, (other[0], other[1] % ", tandem: upper")) == ["J041"]
    assert codes(tmp_path, halves, (other[0], other[1] % "")) == ["J041"]


def test_new_spaces_must_be_free(tmp_path: Path) -> None:
    place = "  place: garage"
    job_with(tmp_path, (place, f"{place}\n  spaces: [5, 7]"))
    assert codes(tmp_path, (place, f"{place}\n  spaces: [3, 5]")) == ["J041"]
    assert codes(tmp_path, (place, f"{place}\n  spaces: [5, 7, 9]")) == ["J048"]
    assert codes(tmp_path, (place, f"{place}\n  spaces: [5, 5]")) == ["J043"]


@pytest.mark.parametrize(("setting", "good"), [("39.9 A", True), ("40 A", True), ("40.1 A", False)])
def test_the_setting_at_the_nameplate(tmp_path: Path, setting: str, good: bool) -> None:
    place = "  place: garage"
    equipment = (
        f"{place}\n  equipment:\n    nameplate_current: 40 A\n"
        f"    setting: {{current: {setting}, access: restricted}}"
    )
    if good:
        job_with(tmp_path, (place, equipment))
    else:
        assert codes(tmp_path, (place, equipment)) == ["J044"]


@pytest.mark.parametrize(
    ("start", "good"), [("2026-08-20", False), ("2026-08-21", True), ("2026-08-22", True)]
)
def test_the_work_starts_no_earlier_than_the_file_is_written(
    tmp_path: Path, start: str, good: bool
) -> None:
    change = ("planned_start: 2026-09-19", f"planned_start: {start}")
    if good:
        job_with(tmp_path, change)
    else:
        assert codes(tmp_path, change) == ["J045"]


@pytest.mark.parametrize("section", [key.name for key in keys().values() if not key.parent])
def test_a_misspelt_section_is_told_and_nothing_else(tmp_path: Path, section: str) -> None:
    """Sections are compared with each other; one that is not there must not be."""
    if f"\n{section}:" in f"\n{BASE}":
        assert codes(tmp_path, (f"{section}:", f"{section}x:")) == ["J010"]


def test_a_section_cut_by_a_comma_is_compared_with_nothing(tmp_path: Path) -> None:
    file = tmp_path / "job.yaml"
    file.write_text("{work: 1,000, people: 2,500}")
    with pytest.raises(JobFaults) as caught:
        load_job(file)
    assert {problem.code for problem in caught.value.problems} == {"J011", "J012"}


def test_a_misspelt_key_is_not_reported_missing_too(tmp_path: Path) -> None:
    assert codes(tmp_path, ("  bus_rating:", "  bus_ratng:")) == ["J010"]


def test_a_faulty_neighbour_is_not_held_against_a_key(tmp_path: Path) -> None:
    length = "    length: 29 ft"
    changed = (length, f"{length}\n    buried: yess\n    cover: 20 in")
    assert codes(tmp_path, changed) == ["J026"]


def test_parts_that_are_whole_are_compared_though_others_are_not(tmp_path: Path) -> None:
    """All faults of a file come in one run, also those between values."""
    found = codes(
        tmp_path,
        ("length: 29 ft", "length: 29"),
        ("planned_start: 2026-09-19", "planned_start: 2026-08-01"),
    )
    assert sorted(found) == ["J020", "J045"]


def given_leaves(part: object) -> list[Given[Any] | Unknown]:
    if isinstance(part, Given | Unknown):
        return [part]
    if isinstance(part, tuple):
        return [leaf for each in part for leaf in given_leaves(each)]
    if isinstance(part, Section):
        return [leaf for each in vars(part).values() for leaf in given_leaves(each)]
    return []


JOBS = sorted((ROOT / "jobs").glob("*.yaml"))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_each_demo_loads_and_every_value_stands_where_it_says(path: Path) -> None:
    job = load_job(path)
    leaves = given_leaves(job)
    assert len(leaves) > 150
    for leaf in leaves:
        span = leaf.span
        assert span.file == str(path)
        typed = job.lines[span.line - 1][span.column - 1 : span.column - 1 + span.length]
        assert reads_back(leaf, typed.strip('"')), (leaf.path, typed)


def reads_back(leaf: Given[Any] | Unknown, typed: str) -> bool:
    if isinstance(leaf, Unknown):
        return typed == "unknown"
    key = keys()[re.sub(r"\.[0-9]+(?=\.|$)", ".*", leaf.path)]
    if isinstance(leaf.value, tuple):
        parts = typed.strip("[]").split(",")
        return leaf.value == tuple(value_of(key, part.strip()) for part in parts)
    return bool(leaf.value == value_of(key, typed))


def test_each_demo_is_a_house_of_its_own() -> None:
    jobs = [load_job(path) for path in JOBS]
    assert {job.authority.code_edition.value for job in jobs} == set(EDITIONS)
    for different in ("office", "phone"):
        assert len({getattr(job.authority, different).value for job in jobs}) == len(jobs)
    assert len({job.site.address.value for job in jobs}) == len(jobs)
    assert len({job.people.owner.name.value for job in jobs}) == len(jobs)
    assert {job.circuit.connection.value for job in jobs} == {"receptacle", "hardwired"}


def test_the_receptacle_demo_has_a_box_that_holds_its_conductors() -> None:
    """Three 6 AWG conductors, their grounds and a device over two gangs need more than 30.3 in3.

    Allowances of 5.00 in3 for 6 AWG and 2.50 in3 for 10 AWG: NEC Table 314.16(B)(1).
    """
    box = next(b for b in load_job(ROOT / "jobs" / "garage-receptacle.yaml").boxes or ())
    assert isinstance(box.volume, Given)
    assert isinstance(box.ring_volume, Given)
    volume = magnitude(box.volume.value + box.ring_volume.value, "in**3")
    assert volume >= 3 * Decimal("5.00") + Decimal("2.50") + 4 * Decimal("5.00")


def test_the_full_service_demo_has_no_free_space() -> None:
    panel = load_job(ROOT / "jobs" / "full-service.yaml").panel
    taken = {space for one in panel.breakers for space in one.spaces.value}
    assert taken == set(range(1, 21))
    assert magnitude(panel.spaces.value, "each") == 20


@pytest.mark.parametrize(("count", "found"), [("1", []), ("2", ["J052"]), ("6", ["J052"])])
def test_conductors_in_parallel_are_refused(tmp_path: Path, count: str, found: list[str]) -> None:
    line = "  connection: receptacle\n"
    change = (line, f"{line}  conductors_in_parallel: {count}\n")
    if found:
        assert codes(tmp_path, change) == found
    else:
        assert job_with(tmp_path, change).circuit.conductors_in_parallel is not None


@pytest.mark.parametrize(
    ("text", "case"),
    [
        ("2 x 3/0", "parallel"),
        ("(2) 3/0 AWG", "parallel"),
        ("2 sets of 3/0 AWG", "parallel"),
        ("3/0 AWG per phase", "parallel"),
        ("3/0 in parallel", "parallel"),
        ("6/3", "form"),
        ("ten", "form"),
    ],
)
def test_a_parallel_set_for_a_size_is_told_what_would_be_right(text: str, case: str) -> None:
    with pytest.raises(Unfit) as caught:
        value_of(keys()["circuit.conductor"], text)
    assert (caught.value.code, caught.value.case) == ("J023", case)
