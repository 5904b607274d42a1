"""The code book hands out what one edition says, says where, and refuses what it does not know."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from packet import codebook
from packet.codebook import EDITIONS, Book, EditionNotEncoded, memory_figures, read, typed
from packet.ledger import Kind
from packet.quantities import ConductorSize, TradeSize, quantity
from packet.showing import show_citation

ANY_NAME = "feet_per_kilofoot"
"""A name of the glossary; which one does not matter here."""


@pytest.fixture
def two_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stand in for the figure files: a rule of late editions and a value nobody has seen."""
    lines = read("""
        ev_load_is_continuous:
          says: a rule that came in 2023
          editions:
            2017: {absent: true, section: 625.42, confirmed: MEMORY}
            2020: {absent: true, section: 625.42, confirmed: MEMORY}
            2023: {section: 625.42(B), confirmed: "FOUND: a course page"}
            2026: {section: 625.42(B), confirmed: MEMORY}
        continuous_load_factor:
          says: a value that was not found for 2026
          unit: ""
          editions:
            2017: {value: 1.25, section: 210.20(A), confirmed: MEMORY}
            2020: {value: 1.25, section: 210.20(A), confirmed: MEMORY}
            2023: {value: 1.25, section: 210.20(A), confirmed: MEMORY}
            2026: {unknown: true, section: 210.20(A), confirmed: MEMORY}
    """)
    monkeypatch.setattr(codebook, "figures", lambda: lines)
    for name in ("_cited", "_figure"):  # what another test asked for is kept there
        monkeypatch.setattr(codebook, name, getattr(codebook, name).__wrapped__)


@pytest.mark.parametrize("edition", ["2014", "2029", "", "latest", "23"])
def test_an_edition_that_is_not_encoded_is_refused_and_the_encoded_ones_are_listed(
    edition: str,
) -> None:
    with pytest.raises(EditionNotEncoded, match="encoded: 2017, 2020, 2023, 2026"):
        Book(edition)
    with pytest.raises(EditionNotEncoded, match="encoded: 2017, 2020, 2023, 2026"):
        memory_figures(edition)


@pytest.mark.usefixtures("two_figures")
def test_an_absent_rule_says_so_and_still_says_where_other_editions_have_it() -> None:
    early, late = Book("2017"), Book("2023")
    assert not early.has("ev_load_is_continuous")
    assert late.has("ev_load_is_continuous")
    assert early.cite("ev_load_is_continuous").section == "625.42"
    with pytest.raises(EditionNotEncoded, match="no value in the 2017 edition"):
        early.figure("ev_load_is_continuous")


@pytest.mark.usefixtures("two_figures")
def test_a_bare_rule_has_no_value_to_hand_out() -> None:
    assert not Book("2023").knows("ev_load_is_continuous")
    with pytest.raises(EditionNotEncoded, match="no value in the 2023 edition"):
        Book("2023").figure("ev_load_is_continuous")


@pytest.mark.usefixtures("two_figures")
def test_a_value_nobody_has_seen_is_there_but_not_known() -> None:
    assert Book("2026").has("continuous_load_factor")
    assert not Book("2026").knows("continuous_load_factor")
    assert Book("2023").knows("continuous_load_factor")
    with pytest.raises(EditionNotEncoded, match="not known in the 2026 edition"):
        Book("2026").figure("continuous_load_factor")


def test_an_unknown_name_is_refused_by_name() -> None:
    for ask in (Book("2023").has, Book("2023").figure, Book("2023").cite, Book("2023").table):
        with pytest.raises(EditionNotEncoded, match="`lucky_number` is not in the code book"):
            ask("lucky_number")


def test_a_figure_is_an_exact_entry_with_its_citation() -> None:
    entry = Book("2023").figure("continuous_load_factor")
    assert entry.kind is Kind.FIGURE
    assert entry.value == quantity("1.25")
    assert isinstance(entry.value.magnitude, Decimal)
    (citation,) = entry.cite
    assert (citation.document, citation.edition) == ("NEC", "2023")
    assert Book("2023").figure("continuous_load_factor", ANY_NAME).name == ANY_NAME


def test_a_figure_of_another_document_cites_that_documents_issue() -> None:
    (citation,) = Book("2017").figure("feet_per_kilofoot").cite
    assert (citation.document, citation.edition) == ("NIST SP 330", "2019")
    assert Book("2017").table("receptacle_configuration").cite.edition == "2016"
    assert Book("2023").table("receptacle_configuration").cite.edition == "2021"


AMPACITY = {
    "2017": "NEC 2017 Table 310.15(B)(16), 6 AWG, copper, 60 °C",
    "2020": "NEC 2020 Table 310.16, 6 AWG, copper, 60 °C",
    "2023": "NEC 2023 Table 310.16, 6 AWG, copper, 60 °C",
    "2026": "NEC 2026 Table 310.16, 6 AWG, copper, 60 °C",
}
"""The table moved back to 310.16 in 2020 (Mike Holt forum thread 2537467)."""


@pytest.mark.parametrize("edition", EDITIONS)
def test_one_cell_cites_its_table_as_that_edition_numbers_it(edition: str) -> None:
    table = Book(edition).table("conductor_ampacity")
    row = table.row(size=ConductorSize("6 AWG"))
    entry = table.entry(ANY_NAME, "copper_60", row)
    assert entry.value == quantity(55, "A")
    shown = show_citation(entry.cite[0]).replace("\u00a0", " ")
    assert shown == AMPACITY[edition]


@pytest.mark.parametrize(
    ("name", "sections"),
    [
        ("box_allowance", ("314.16(B)", "314.16(B)", "314.16(B)(1)", "314.16(B)(1)")),
        ("burial_cover", ("300.5", "300.5", "300.5(A)", "300.5(A)")),
        ("lighting_demand", ("220.42", "220.42", "220.45", "120.45")),
        ("range_demand", ("220.55", "220.55", "220.55", "120.55")),
        ("dryer_demand", ("220.54", "220.54", "220.54", "120.54")),
        ("ccc_adjustment", ("310.15(B)(3)(a)", "310.15(C)(1)", "310.15(C)(1)", "310.15(C)(1)")),
        (
            "ambient_correction",
            ("310.15(B)(2)(a)", "310.15(B)(1)", "310.15(B)(1)(1)", "310.15(B)(1)(1)"),
        ),
    ],
)
def test_a_renumbered_table_is_cited_by_the_number_of_the_edition(
    name: str, sections: tuple[str, ...]
) -> None:
    """Numbers after course pages and EC&M pieces on each edition; 2026 after its Article 120."""
    found = tuple(Book(edition).table(name).cite.section for edition in EDITIONS)
    assert found == tuple(f"Table {section}" for section in sections)


def test_a_key_with_a_unit_is_printed_with_that_unit() -> None:
    table = Book("2023").table("ambient_correction")
    row = table.row(up_to=quantity(40, "degC"))
    at = table.entry(ANY_NAME, "conductor_90", row).cite[0].at
    assert at.replace("\u00a0", " ") == "40 °C and below, conductor rated 90 °C"


def test_a_row_that_is_not_there_is_named_in_the_refusal() -> None:
    table = Book("2023").table("equipment_grounding")
    with pytest.raises(LookupError, match=r"Table 250\.122 has no row for device_up_to 61.A"):
        table.row(device_up_to=quantity(61, "A"))
    with pytest.raises(LookupError, match=r"has no row for size 2\s?000.kcmil"):
        Book("2023").table("conductor_ampacity").row(size=ConductorSize("2000 kcmil"))


def test_an_empty_cell_is_refused_not_read_as_nothing() -> None:
    table = Book("2023").table("conductor_ampacity")
    row = table.row(size=ConductorSize("14 AWG"))
    assert row["aluminum_75"] is None
    with pytest.raises(LookupError, match=r"no figure at 14.AWG, aluminum, 75 °C"):
        table.entry(ANY_NAME, "aluminum_75", row)


def test_a_row_may_carry_its_own_section() -> None:
    table = Book("2023").table("supports")
    entry = table.entry(ANY_NAME, "spacing", table.row(method="NM-B"))
    assert entry.cite[0].section == "334.30"


def test_ten_ampere_devices_arrive_with_2023() -> None:
    """Outside: expertce.com lesson on Table 240.6(A) of 2023; PSD magazine, Jan 2024."""
    has_ten = [
        any(row["rating"] == quantity(10, "A") for row in Book(e).table("standard_ratings").rows())
        for e in EDITIONS
    ]
    assert has_ten == [False, False, True, True]


def test_only_these_tables_differ_between_the_editions() -> None:
    """The outside checks read one edition; of the third table only a section differs."""
    differ = {
        name
        for name in codebook.table_names()
        if len({str(list(Book(edition).table(name).rows())) for edition in EDITIONS}) > 1
    }
    assert differ == {"standard_ratings", "small_conductor_limit", "framing_protection"}


def test_a_row_handed_out_cannot_spoil_the_book() -> None:
    table = Book("2023").table("box_allowance")
    table.row(size=ConductorSize("6 AWG"))["volume"] = None
    assert table.row(size=ConductorSize("6 AWG"))["volume"] == quantity("5.00", "in**3")


def confirmed(table: codebook.Table, column: str, row: dict[str, Any]) -> str:
    return table.entry(ANY_NAME, column, row).cite[0].confirmed


def test_a_memory_word_is_never_covered_by_a_found_word() -> None:
    seen = Book("2017").table("conductor_resistance")
    unseen = Book("2023").table("conductor_resistance")
    keys = {"size": ConductorSize("10 AWG"), "stranding": "solid"}
    assert confirmed(seen, "copper", seen.row(**keys)).startswith("FOUND: textbook")
    assert confirmed(seen, "aluminum", seen.row(**keys)).startswith("MEMORY")
    assert confirmed(seen, "area", seen.row(**keys)).startswith("MEMORY")
    assert confirmed(unseen, "copper", unseen.row(**keys)).startswith("MEMORY")
    found_row = {**seen.row(**keys), "confirmed": "FOUND: a page"}
    assert confirmed(seen, "area", found_row).startswith("MEMORY")
    assert confirmed(seen, "copper", found_row) == "FOUND: a page"
    whole_memory = replace(seen, cite=replace(seen.cite, confirmed="MEMORY"))
    assert confirmed(whole_memory, "copper", found_row) == "MEMORY"


def test_the_memory_list_counts_cells_and_is_in_order() -> None:
    lines = memory_figures("2017")
    assert [line.name for line in lines] == sorted(line.name for line in lines)
    by_name = {line.name: line for line in lines}
    assert (by_name["annex_c_counts"].cells, by_name["annex_c_counts"].of) == (140, 506)
    assert by_name["conduit_bend_radius"].cells == by_name["conduit_bend_radius"].of
    assert "feet_per_kilofoot" not in by_name
    assert "box_allowance" not in by_name
    assert all(line.says and line.cite.section for line in lines)


def test_no_table_of_2026_has_been_seen_so_every_one_is_listed_in_full() -> None:
    nec = [n for n in codebook.table_names() if Book("2026").table(n).cite.document == "NEC"]
    by_name = {line.name: line for line in memory_figures("2026")}
    assert all(by_name[name].cells == by_name[name].of for name in nec)
    assert len(nec) >= 28


@pytest.mark.parametrize(
    ("text", "unit", "kind", "value"),
    [
        ("1.250", "", None, quantity("1.250")),
        ("0.1", "Ω/kft", None, quantity("0.1", "Ω/kft")),
        ("2/0 AWG", None, "conductor", ConductorSize("2/0 AWG")),
        ("1-1/4", None, "trade_size", TradeSize("1-1/4")),
        ("2026-09-01", None, "date", date(2026, 9, 1)),
        (["15", "20"], "A", "list", (quantity(15, "A"), quantity(20, "A"))),
        (["garage", "basement"], None, "list", ("garage", "basement")),
        ("fastened", None, None, "fastened"),
        (True, None, None, True),
        (None, "A", None, None),
    ],
)
def test_a_value_is_what_its_type_or_unit_says(
    text: Any, unit: str | None, kind: str | None, value: Any
) -> None:
    assert typed(text, unit, kind) == value


@pytest.mark.parametrize(
    ("text", "unit", "kind"),
    [
        ("1,000", "A", None),
        ("1e3", "A", None),
        ("about 5", "A", None),
        ("six", None, "conductor"),
        ("5 AWG", None, "trade_size"),
        ("1.9.2026", None, "date"),
    ],
)
def test_a_value_that_is_not_what_it_says_is_refused(
    text: str, unit: str | None, kind: str | None
) -> None:
    with pytest.raises(ValueError, match=r".+"):
        typed(text, unit, kind)


def test_digits_are_kept_as_printed() -> None:
    """A float would print 0.1 for the 0.100 of the book, and 1.3800000000000001 for 1.38."""
    lines = read("a: 0.100\nb: [1.38, 007]\nc: null\nd: true\ne: yes\n")
    assert lines == {"a": "0.100", "b": ["1.38", "007"], "c": None, "d": True, "e": "yes"}


def test_a_name_that_stands_twice_in_one_file_is_refused() -> None:
    """The second would silently hide the first."""
    with pytest.raises(ValueError, match="`value` stands twice, line 2"):
        read("rule:\n  {value: 1.25, section: 210.20(A), value: 1.0}")
