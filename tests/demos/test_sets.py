"""The client's and the permit office's sets of every demo: prices, references, clean pages."""

from __future__ import annotations

import html
import re
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

import pytest

from packet import render, words
from packet.ledger import Verdict
from packet.sheets import views
from packet.sheets.calculations import numbers
from packet.showing import show
from tests.demos.conftest import NAMES, planned, printed, sheets
from tests.demos.test_pages import strangers
from tests.pages import checks

WHOLE = ["garage-receptacle", "driveway-pedestal", "cellar-subpanel"]
READERS = ["client", "permit"]
LETTERS = {"client": "S", "permit": "PHKL"}


# ------------------------------------------------------------------------------------ pages


def faults_on_both_papers(made: views.SheetSet) -> list[str]:
    letter, a4 = checks.printed(made, "letter"), checks.printed(made, "a4")
    return [
        *checks.every_fault(letter, made),
        *checks.unlike_papers(letter, a4),
        *checks.margin_collisions(a4),
        *checks.inked_margins(a4),
    ]


@pytest.mark.parametrize("name", NAMES)
def test_the_client_set_is_without_a_fault_on_both_papers(name: str) -> None:
    assert faults_on_both_papers(sheets(name, "client")) == []


@pytest.mark.parametrize("name", WHOLE)
def test_the_permit_set_is_without_a_fault(name: str) -> None:
    assert checks.every_fault(printed(name, "letter", "permit"), sheets(name, "permit")) == []


def test_the_permit_set_has_the_same_pages_on_both_papers() -> None:
    assert faults_on_both_papers(sheets("garage-receptacle", "permit")) == []


@pytest.mark.parametrize("name", ["driveway-pedestal", "cellar-subpanel"])
def test_the_permit_summary_is_without_a_fault_on_both_papers(name: str) -> None:
    """Its other sheets are those of the clipboard set, which both papers are tried with."""
    made = sheets(name, "permit")
    assert faults_on_both_papers(replace(made, sheets=made.sheets[:1])) == []


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", WHOLE)
def test_every_number_with_a_unit_is_a_shown_value_of_the_ledger(name: str, reader: str) -> None:
    found = {
        stranger
        for text in printed(name, "letter", reader).texts
        for stranger in strangers(text, name)
    }
    assert found == set()


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", WHOLE)
def test_a_job_that_may_start_has_the_sheets_of_its_reader(name: str, reader: str) -> None:
    assert sheets(name, reader).letters == LETTERS[reader]


@pytest.mark.parametrize("name", WHOLE)
def test_the_permit_summary_is_one_page_and_a_scope_at_most_four(name: str) -> None:
    assert "END OF SHEET P" in printed(name, "letter", "permit").texts[0]
    assert len(printed(name, "letter", "client").texts) <= 4


@pytest.mark.parametrize("name", WHOLE)
def test_price_and_signatures_stand_on_one_page(name: str) -> None:
    """Who signs sees what it costs."""
    last = printed(name, "letter", "client").texts[-1]
    for said in ("Price", "Total", "Accepted", "Client, printed name", "Signature"):
        assert said in last


def test_what_falls_short_has_no_scope_to_sign() -> None:
    assert sheets("full-service", "client").letters == "A"
    page, back = printed("full-service", "letter", "client").texts
    assert "Words on sheet A" in back
    assert "DO NOT START" in page
    assert "To put it right" in page
    assert "work packet, K" in page
    assert "Signature" not in page


def test_what_falls_short_has_no_permit_summary() -> None:
    """The office sees why, on the sheets of the clipboard set and no others."""
    made = sheets("full-service", "permit")
    assert made.letters == "AKL"
    assert made.sheets == sheets("full-service").sheets


def test_one_job_has_one_stamp_on_all_its_sets() -> None:
    for name in NAMES:
        stamps = {sheets(name, reader).frame.stamp for reader in ("clipboard", *READERS)}
        assert len(stamps) == 1


# ------------------------------------------------------------------------------- references


REFERENCE = re.compile(
    r"(?P<away>work packet, )?"
    r"(?:\b[Ss]heets? (?P<sheet>[A-Z])\b|\b(?P<row>[A-Z])-\d+\b|\b(?P<line>[A-Z]) line \d+"
    r"|^(?P<bare>[A-Z])$)"
)
NAMES_NO_SHEET = re.compile(r"\bL1\b|\bL2\b|THWN-2|XHHW-2|USE-2|NM-B")


def references(text: str) -> set[str]:
    """Return the letters of all sheets that `text` refers to as sheets of its own set."""
    plain = NAMES_NO_SHEET.sub(" ", re.sub(r"\s+", " ", text))
    return {
        found["sheet"] or found["row"] or found["line"] or found["bare"]
        for found in REFERENCE.finditer(plain)
        if not found["away"]
    } - {None}


def astray(text: str, letters: str) -> set[str]:
    return references(text) - set(letters)


@pytest.mark.parametrize("reader", ["clipboard", *READERS])
@pytest.mark.parametrize("name", NAMES)
def test_no_reference_leaves_its_set(name: str, reader: str) -> None:
    """'See K line 12' sends a reader without sheet K to another floor."""
    strays = [
        (place, astray(text, sheets(name, reader).letters))
        for place, text in _texts(sheets(name, reader), "set")
    ]
    assert [stray for stray in strays if stray[1]] == []


NO_PROSE = {"formula", "numbers", "symbol", "unit", "letter", "revision"}
"""Fields in which a single capital is no sheet."""


def _texts(value: Any, place: str) -> list[tuple[str, str]]:
    """Return every string of a view with its place."""
    if isinstance(value, str):
        return [(place, value)]
    if isinstance(value, tuple):
        return [
            text for number, one in enumerate(value) for text in _texts(one, f"{place}.{number}")
        ]
    if is_dataclass(value) and not isinstance(value, type):
        return [
            text
            for field in fields(value)
            if field.name not in NO_PROSE
            for text in _texts(getattr(value, field.name), f"{place}.{field.name}")
        ]
    return []


@pytest.mark.parametrize(
    ("text", "letters"),
    [
        ("Sheet E has a blank for each.", "E"),
        ("K line 12", "K"),
        ("see L-7 and F-2", "LF"),
        ("K", "K"),
        ("work packet, L-7", ""),
        ("L1 and L2 on XHHW-2, NM-B", ""),
        ("NEMA 14-50, THHN/THWN-2, 210.8(A)", ""),
    ],
)
def test_a_planted_reference_is_seen(text: str, letters: str) -> None:
    assert references(text) == set(letters)


@pytest.mark.parametrize("name", WHOLE)
def test_rows_and_lines_of_the_permit_summary_are_where_it_says(name: str) -> None:
    made = {sheet.letter: sheet for sheet in sheets(name, "permit").sheets}
    summary, load, calculations = made["P"], made["K"], made["L"]
    assert isinstance(summary, views.PermitSummary)
    assert isinstance(load, views.LoadWorksheet)
    assert isinstance(calculations, views.Calculations)
    blocks = {block.number: block for group in calculations.groups for block in group.blocks}
    lines = {line.number: line for method in load.methods for line in method.lines}
    seen = 0
    for row in summary.rows:
        if row.see.startswith("L-"):
            assert blocks[row.see].result in row.value
        elif row.see.startswith("K line"):
            assert lines[row.see.removeprefix("K line ")].amount in row.value
        else:
            assert row.see in ("", "H", "L")
            continue
        seen += 1
    assert seen >= 5


@pytest.mark.parametrize("name", WHOLE)
def test_calculations_of_the_permit_set_rest_on_nothing_that_is_left_out(name: str) -> None:
    every = _calculations(name, "clipboard")
    kept = _calculations(name, "permit")
    assert set(kept) < set(every)
    for number, block in kept.items():
        assert replace(block, used_on="") == replace(every[number], used_on="")
        assert set(block.used_on.split(", ")) <= {"", *every[number].used_on.split(", ")}
        rows = {it.origin for it in block.inputs if re.fullmatch(r"L-\d+", it.origin)}
        assert rows <= set(kept)


def _calculations(name: str, reader: str) -> dict[str, views.Calculation]:
    sheet = next(one for one in sheets(name, reader).sheets if isinstance(one, views.Calculations))
    return {block.number: block for group in sheet.groups for block in group.blocks}


# ----------------------------------------------------------------------------------- content


@pytest.mark.parametrize("name", WHOLE)
@pytest.mark.parametrize(
    "value",
    [
        "overcurrent_rating",
        "conductor_size",
        "equipment_grounding",
        "service.rating",
        "charging_current",
        "site.address",
        "authority.office",
    ],
)
def test_the_permit_summary_has_the_values_of_the_packet(name: str, value: str) -> None:
    page = " ".join(printed(name, "letter", "permit").texts[0].split())
    assert show(planned(name).ledger[value]).replace("\u00a0", " ") in page


@pytest.mark.parametrize("name", WHOLE)
def test_the_permit_summary_says_what_protects_and_what_disconnects(name: str) -> None:
    sheet = sheets(name, "permit").sheets[0]
    assert isinstance(sheet, views.PermitSummary)
    items = {row.item: row for row in sheet.rows}
    needed = planned(name).ledger["ground_fault.required"]
    assert show(needed) in items["Ground fault"].value
    for item in ("Ground fault", "Disconnect", "Circuit conductors", "Equipment ground"):
        assert items[item].section
    asks = planned(name).ledger.having(Verdict.ASK)
    assert bool(sheet.open) is bool(asks)


def test_cover_in_the_ground_is_there_where_something_is_buried() -> None:
    for name in WHOLE:
        sheet = sheets(name, "permit").sheets[0]
        assert isinstance(sheet, views.PermitSummary)
        buried = planned(name).ledger["fact.is_buried"].value
        assert any(row.item == "Cover in the ground" for row in sheet.rows) is buried


def _scope(name: str) -> views.Scope:
    sheet = sheets(name, "client").sheets[0]
    assert isinstance(sheet, views.Scope)
    return sheet


def money(text: str) -> Decimal:
    return Decimal(text.removeprefix("$ ").removeprefix("$\u00a0").replace(",", ""))


def sums_that_are_wrong(sheet: views.Scope) -> list[str]:
    """Add up what a client would add up by hand."""
    total = money(sheet.total)
    wrong = []
    if sum(money(line.amount) for line in sheet.prices) != total:
        wrong.append("the lines do not come to the total")
    if sheet.payments and sum(money(one.amount) for one in sheet.payments) != total:
        wrong.append("the payments do not come to the total")
    return wrong


def test_the_price_table_adds_up_on_paper() -> None:
    sheet = _scope("driveway-pedestal")
    assert len(sheet.prices) == 5
    assert sums_that_are_wrong(sheet) == []
    page = " ".join(printed("driveway-pedestal", "letter", "client").texts[-1].split())
    for text in (*(line.amount for line in sheet.prices), sheet.total):
        assert text.replace("\u00a0", " ") in page


@pytest.mark.parametrize("place", ["prices", "payments"])
def test_a_sum_that_is_off_by_a_cent_is_caught(place: str) -> None:
    sheet = _scope("driveway-pedestal")
    first, *others = getattr(sheet, place)
    off = replace(first, amount=f"$ {money(first.amount) + Decimal('0.01')}")
    assert sums_that_are_wrong(replace(sheet, **{place: (off, *others)})) != []


def test_every_price_is_a_value_of_the_ledger() -> None:
    shown = {show(entry) for entry in planned("driveway-pedestal").ledger}
    sheet = _scope("driveway-pedestal")
    assert {line.amount for line in sheet.prices} | {sheet.total} <= shown
    assert {one.amount for one in sheet.payments} <= shown


@pytest.mark.parametrize("name", ["garage-receptacle", "cellar-subpanel"])
def test_where_the_owner_works_the_sheet_asks_for_a_quote(name: str) -> None:
    """No price is invented for an electrician who has not been asked yet."""
    sheet = _scope(name)
    assert sheet.kind == "request"
    assert not sheet.contractor.name
    assert {line.amount for line in sheet.prices} == {""}
    assert sheet.total == sheet.warranty == ""
    assert "$" not in " ".join(printed(name, "letter", "client").texts)
    assert all(assumption.otherwise for assumption in sheet.assumptions)


def test_open_questions_make_the_price_not_firm() -> None:
    said = _scope("cellar-subpanel").open
    assert any("fault current" in question.text for question in said)
    assert all(question.who for question in said)
    assert not any("owner do this work" in question.text for question in said)
    assert _scope("driveway-pedestal").open == ()


def test_terms_of_the_offer_are_printed_word_for_word() -> None:
    text = " ".join(" ".join(printed("driveway-pedestal", "letter", "client").texts).split())
    for name in ("offer.warranty", "offer.exclusion.1", "offer.exclusion.2", "offer.item.1.what"):
        assert show(planned("driveway-pedestal").ledger[name]) in text
    for name in ("offer.valid_until", "people.installer_licence", "offer.payment.2.when"):
        assert show(planned("driveway-pedestal").ledger[name]) in text


@pytest.mark.parametrize("name", WHOLE)
def test_one_load_of_the_service_stands_on_every_sheet(name: str) -> None:
    """Two figures for one load on two sheets cost a plan review, and the reader's trust."""
    deciding = show(planned(name).load.worksheet.deciding)
    (summary,) = (s for s in sheets(name).sheets if isinstance(s, views.Summary))
    assert deciding in summary.reasons[0].text
    named = words.word(planned(name).load.worksheet.deciding.name).label
    assert {line.value for line in summary.key_values if line.item == named} <= {deciding}
    first, *_ = sheets(name, "permit").sheets
    assert isinstance(first, views.PermitSummary)
    (load,) = (row for row in first.rows if row.item == "Calculated load")
    assert load.value.startswith(deciding)
    (rests,) = (one for one in _scope(name).assumptions if "appliances" in one.text)
    assert deciding in rests.text


@pytest.mark.parametrize("name", WHOLE)
def test_reasons_and_key_values_name_a_row_that_holds_them(name: str) -> None:
    made = {sheet.letter: sheet for sheet in sheets(name).sheets}
    summary, load, calculations = made["A"], made["K"], made["L"]
    assert isinstance(summary, views.Summary)
    assert isinstance(load, views.LoadWorksheet)
    assert isinstance(calculations, views.Calculations)
    held = {b.number: b.result for group in calculations.groups for b in group.blocks}
    held |= {f"K line {line.number}": line.amount for m in load.methods for line in m.lines}
    told = {(reason.see, reason.text) for reason in summary.reasons}
    told |= {(line.source, line.value) for line in summary.key_values}
    rows = {(place, text) for place, text in told if place in held}
    assert len(rows) >= 3
    words_decide = {numbers(planned(name).ledger)["ground_fault.required"]}
    astray = {(place, text) for place, text in rows if held[place] not in text}
    assert {place for place, _ in astray} <= words_decide


@pytest.mark.parametrize("name", WHOLE)
def test_every_quantity_to_buy_has_its_unit(name: str) -> None:
    (buy,) = (sheet for sheet in sheets(name).sheets if isinstance(sheet, views.Buy))
    unit = re.compile(r"\d\u00a0(ft|pieces?|packs?)\b")
    for trip in buy.trips:
        for item in trip.items:
            assert unit.search(item.quantity), item.name
            assert not item.needed or unit.search(item.needed), item.name


def test_a_box_is_bought_by_its_volume_and_screws_by_the_pack() -> None:
    (buy,) = (s for s in sheets("garage-receptacle").sheets if isinstance(s, views.Buy))
    items = {item.name: item.quantity for trip in buy.trips for item in trip.items}
    volume = show(planned("garage-receptacle").ledger["box.1.marked_volume"])
    assert f"Metal box, {volume} or more for Outlet box" in items
    assert items["Screws for straps and boxes"].replace("\u00a0", " ") == "1 pack of 100"


@pytest.mark.parametrize("reader", ["clipboard", "permit"])
def test_each_result_names_the_rows_that_use_it(reader: str) -> None:
    (sheet,) = (s for s in sheets(WHOLE[0], reader).sheets if isinstance(s, views.Calculations))
    blocks = {block.number: block for group in sheet.groups for block in group.blocks}
    users = {number: set(block.used_on.split(", ")) for number, block in blocks.items()}
    for block in blocks.values():
        for it in block.inputs:
            if it.origin in blocks:
                assert block.number in users[it.origin], (block.number, it.origin)
    named = {place for places in users.values() for place in places if place.startswith("L-")}
    assert named
    assert named <= set(blocks)


def test_each_sheet_a_plan_reviewer_gets_says_who_answers_for_it() -> None:
    for reader, letters in (("permit", "HKL"), ("clipboard", "H")):
        page = render.html(sheets("driveway-pedestal", reader), "letter")
        parts = page.split('<section class="sheet ')[1:]
        blocks = {
            re.search(r'data-letter="(.)"', part)[1]: part.partition('class="title-block"')[2]  # type: ignore[index]
            for part in parts
            if 'class="title-block"' in part
        }
        assert "".join(blocks) == letters
        frame = sheets("driveway-pedestal", reader).frame
        for block in blocks.values():
            for told in (frame.address, frame.prepared_by, frame.phone, frame.stamp, frame.edition):
                assert html.escape(told, quote=False).replace("'", "&#39;") in block
