"""The data files of the code book: complete, typed, cited, named, and without duplicates.

Every check is a function from data to a list of faults, so that the second half of this
file can plant each fault and see it caught.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from packet import codebook
from packet.codebook import EDITIONS, NOTES_OF_A_ROW, memory_figures, read, typed
from packet.quantities import UNIT_LABELS, Quantity, magnitude, round_shown
from packet.words import glossary

FOLDER = Path(codebook.__file__).parent
FIGURE_FILES = sorted((FOLDER / "figures").iterdir())
TABLE_FILES = sorted((FOLDER / "tables").iterdir())

FIGURE_KEYS = {"says", "unit", "type", "document", "editions"}
FIGURE_LINE_KEYS = {"value", "absent", "unknown", "section", "confirmed", "document_edition"}
TABLE_KEYS = {"says", "document", "editions", "columns", "rows"}
TABLE_LINE_KEYS = {"section", "confirmed", "document_edition", "rows"}
COLUMN_KEYS = {"key", "type", "unit", "head", "suffix", "confirmed"}
TYPES = {"conductor", "trade_size", "list", "date", "text"}
CONFIRMED = re.compile(r"FOUND: \S.*|MEMORY(: \S.*)?")
NUMBER = re.compile(r"-?\d+(\.\d+)?")

Data = Mapping[str, Any]


def strange_keys(place: str, found: Data, allowed: set[str]) -> Iterator[str]:
    yield from (f"{place}: unknown key `{key}`" for key in found if key not in allowed)


def edition_faults(place: str, whole: Data, keys: set[str]) -> Iterator[str]:
    """What the four edition lines lack; the same for figures and tables."""
    if not str(whole.get("says") or "").strip():
        yield f"{place}: `says` is missing"
    document = whole.get("document", "NEC")
    known = codebook.documents().get(document)
    if known is None:
        yield f"{place}: document `{document}` is not in documents.yaml"
    lines = whole.get("editions") or {}
    for edition in sorted(set(EDITIONS) ^ set(lines)):
        yield f"{place}: edition {edition} is {'missing' if edition in EDITIONS else 'unknown'}"
    for edition, line in lines.items():
        at = f"{place} {edition}"
        yield from strange_keys(at, line, keys)
        if not str(line.get("section") or "").strip():
            yield f"{at}: `section` is missing"
        if not CONFIRMED.fullmatch(str(line.get("confirmed", ""))):
            yield f"{at}: `confirmed` does not begin with FOUND: or MEMORY"
        issue = line.get("document_edition", "")
        if document != "NEC" and known and issue not in known["editions"]:
            yield f"{at}: issue `{issue}` of {document} is not in documents.yaml"
        if document == "NEC" and issue:
            yield f"{at}: `document_edition` beside the NEC"


def type_faults(place: str, what: Data) -> Iterator[str]:
    if what.get("unit") is not None and what["unit"] not in UNIT_LABELS:
        yield f"{place}: unknown unit `{what['unit']}`"
    if what.get("type") is not None and what["type"] not in TYPES:
        yield f"{place}: unknown type `{what['type']}`"


def value_faults(place: str, value: Any, what: Data) -> Iterator[str]:
    try:
        typed(value, what.get("unit"), what.get("type"))
    except (ValueError, AttributeError) as fault:
        yield f"{place}: {fault}"


def figure_faults(file: str, data: Data) -> Iterator[str]:
    """Every fault of one file of figures."""
    for name, whole in data.items():
        place = f"{file}: {name}"
        yield from strange_keys(place, whole, FIGURE_KEYS)
        yield from edition_faults(place, whole, FIGURE_LINE_KEYS)
        yield from type_faults(place, whole)
        lines: Data = whole.get("editions") or {}
        holds_values = any("value" in line or line.get("unknown") for line in lines.values())
        for edition, line in lines.items():
            at = f"{place} {edition}"
            said = [word for word in ("value", "absent", "unknown") if line.get(word) is not None]
            if len(said) > 1:
                yield f"{at}: {' and '.join(said)} at once"
            if holds_values and not said:
                yield f"{at}: `value` is missing"
            if "value" in line:
                yield from value_faults(at, line["value"], whole)
                untyped = whole.get("unit") is None and whole.get("type") is None
                if untyped and NUMBER.fullmatch(str(line["value"])):
                    yield f"{at}: a number without `unit`"


def glossary_faults(file: str, data: Data, lines: Data) -> Iterator[str]:
    """Every figure with a value that a page could not name, or would print otherwise."""
    for name, whole in data.items():
        values = [line["value"] for line in whole["editions"].values() if "value" in line]
        if not values:
            continue
        if name not in lines:
            yield f"{file}: {name}: no glossary line"
            continue
        unit = lines[name].get("unit", "")
        places = int(lines[name].get("places", 2))
        for value in values:
            exact = typed(value, whole.get("unit"), whole.get("type"))
            for one in exact if isinstance(exact, tuple) else (exact,):
                if not isinstance(one, Quantity):
                    if unit:
                        yield f"{file}: {name}: glossary has a unit for words"
                elif not one.is_compatible_with(unit or "dimensionless"):
                    yield f"{file}: {name}: glossary has the unit `{unit}`"
                else:
                    number = magnitude(one, unit or "dimensionless")
                    if round_shown(number, places) != number:
                        shown = f"{number.normalize():f} is cut to {places} places when shown"
                        yield f"{file}: {name}: {shown}"


def table_faults(file: str, data: Data) -> Iterator[str]:
    """Every fault of one table."""
    yield from strange_keys(file, data, TABLE_KEYS)
    yield from edition_faults(file, data, TABLE_LINE_KEYS)
    columns: Data = data.get("columns") or {}
    keys = [name for name, line in columns.items() if line.get("key")]
    if not keys:
        yield f"{file}: no column has `key: true`"
    for name, line in columns.items():
        yield from strange_keys(f"{file}: column {name}", line, COLUMN_KEYS)
        yield from type_faults(f"{file}: column {name}", line)
        if "confirmed" in line and not CONFIRMED.fullmatch(str(line["confirmed"])):
            yield f"{file}: column {name}: `confirmed` does not begin with FOUND: or MEMORY"
    versions = {edition: line.get("rows") for edition, line in data["editions"].items()}
    for edition in EDITIONS:
        if not (versions.get(edition) or data.get("rows")):
            yield f"{file} {edition}: no rows"
    for edition, rows in {**versions, "all": data.get("rows")}.items():
        yield from row_faults(f"{file} {edition}", rows or [], columns, keys)


def row_faults(place: str, rows: list[Data], columns: Data, keys: list[str]) -> Iterator[str]:
    seen: set[tuple[Any, ...]] = set()
    for number, row in enumerate(rows, 1):
        at = f"{place} row {number}"
        yield from strange_keys(at, row, {*columns, *NOTES_OF_A_ROW})
        yield from (f"{at}: no cell `{name}`" for name in columns if name not in row)
        for name in columns:
            yield from value_faults(f"{at} {name}", row.get(name), columns[name])
        key = tuple(row.get(name) for name in keys)
        if key in seen:
            yield f"{at}: stands twice: {', '.join(str(part) for part in key)}"
        seen.add(key)
        of_row = row.get("confirmed", "MEMORY")
        by_cell = of_row if isinstance(of_row, dict) else {keys[0] if keys else "": of_row}
        for name, word in by_cell.items():
            if not CONFIRMED.fullmatch(str(word)):
                yield f"{at}: `confirmed` does not begin with FOUND: or MEMORY"
            if name not in columns:
                yield f"{at}: `confirmed` names no column: `{name}`"
    for name, line in columns.items():
        cells = [row[name] for row in rows if row.get(name) is not None]
        untyped = line.get("unit") is None and line.get("type") is None
        if untyped and cells and all(NUMBER.fullmatch(str(cell)) for cell in cells):
            yield f"{place}: column {name} holds numbers without `unit`"


def load(path: Path) -> Any:
    return read(path.read_text("utf-8"))


# What the files say.


@pytest.mark.parametrize("path", FIGURE_FILES, ids=lambda path: path.name)
def test_figures_are_complete_and_cited_in_every_edition(path: Path) -> None:
    """A misspelt key or a missing edition would silently give another edition's figure."""
    assert not (found := list(figure_faults(path.name, load(path)))), "\n".join(found)


@pytest.mark.parametrize("path", FIGURE_FILES, ids=lambda path: path.name)
def test_every_figure_can_be_printed_as_it_stands(path: Path) -> None:
    """A figure shown with too few places, or in another unit, is a wrong figure on paper."""
    assert not (found := list(glossary_faults(path.name, load(path), glossary()))), "\n".join(found)


@pytest.mark.parametrize("path", TABLE_FILES, ids=lambda path: path.name)
def test_tables_are_complete_and_cited_in_every_edition(path: Path) -> None:
    """A row that stands twice, or a cell under a misspelt column, hands out the wrong cell."""
    assert not (found := list(table_faults(path.name, load(path)))), "\n".join(found)


def test_no_name_is_both_a_figure_and_a_table() -> None:
    """One name for two things sends a citation to the wrong place."""
    assert set(codebook.figures()).isdisjoint(codebook.table_names())


def test_only_data_files_lie_in_the_code_book() -> None:
    """A file with another ending would be left out without a word."""
    assert [path.name for path in (*FIGURE_FILES, *TABLE_FILES) if path.suffix != ".yaml"] == []


def test_documents_are_told_by_title_publisher_and_issue() -> None:
    """A citation nobody can look up is no citation."""
    for name, line in codebook.documents().items():
        assert set(line) == {"title", "publisher", "editions"}, name
        assert line["title"], name
        assert line["publisher"], name
        assert line["editions"], name
    assert tuple(codebook.documents()["NEC"]["editions"]) == EDITIONS


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_memory_list_names_every_line_that_says_memory(edition: str) -> None:
    """A figure nobody has seen in print must not slip out of the list on the last page."""
    listed = {one.name for one in memory_figures(edition)}
    for path in (*FIGURE_FILES, *TABLE_FILES):
        data = load(path)
        named = data.items() if path.parent.name == "figures" else [(path.stem, data)]
        for name, whole in named:
            text = str(whole["editions"][edition]["confirmed"])
            if text.startswith("MEMORY"):
                assert name in listed
            elif path.parent.name == "figures":
                assert name not in listed


def test_no_file_speaks_of_a_path_or_an_address_of_a_machine() -> None:
    """A source is named in plain words that hold on any machine."""
    pattern = re.compile(r"/work/|/tmp/|/home/|shared/|\b(MH|ELR|BCF|CC\d\d)-\d")
    for path in FOLDER.rglob("*.yaml"):
        assert not pattern.search(path.read_text("utf-8")), path.name


# Planted faults.

GOOD_FIGURE = """
box_depth:
  says: depth of a box
  unit: in
  editions:
    2017: {value: 1.5, section: 314.24, confirmed: "FOUND: a course page"}
    2020: {value: 1.5, section: 314.24, confirmed: MEMORY}
    2023: {value: 1.5, section: 314.24, confirmed: "MEMORY: as 2020"}
    2026: {unknown: true, section: 314.24, confirmed: MEMORY}
"""

FIGURE_PLANTS = [
    ("unit: in", "unti: in", "f.yaml: box_depth: unknown key `unti`"),
    ("says: depth of a box", 'says: ""', "`says` is missing"),
    ("unit: in", "unit: furlong", "unknown unit `furlong`"),
    ("unit: in", "type: colour", "unknown type `colour`"),
    ("unit: in", "document: My Notes", "document `My Notes` is not in documents.yaml"),
    ("unit: in", "unit: in\n  document: ANSI C84.1", "issue `` of ANSI C84.1"),
    ("unit: in", "type: text", None),
    ("  unit: in\n", "", "a number without `unit`"),
    ("    2020:", "    2014:", "edition 2020 is missing"),
    ("    2020:", "    2014:", "edition 2014 is unknown"),
    ("section: 314.24, confirmed: MEMORY}", "confirmed: MEMORY}", "2020: `section` is missing"),
    ("confirmed: MEMORY}", "confirmed: memory}", "2020: `confirmed` does not begin"),
    ('"FOUND: a course page"', "FOUND", "2017: `confirmed` does not begin"),
    ('"FOUND: a course page"', '"seen"', "2017: `confirmed` does not begin"),
    ("value: 1.5, section", "value: 1 1/2, section", "`1 1/2` is not a plain number"),
    ("value: 1.5, section", "vlaue: 1.5, section", "2017: unknown key `vlaue`"),
    ("value: 1.5, section", "vlaue: 1.5, section", "2017: `value` is missing"),
    ("{value: 1.5, s", "{value: 1.5, absent: true, s", "2017: value and absent at once"),
    ("314.24, c", "314.24, document_edition: 2016, c", "`document_edition` beside the NEC"),
    ("unit: in", "type: conductor", "`1.5` is not a conductor size"),
]


def test_the_good_figure_has_no_fault() -> None:
    assert list(figure_faults("f.yaml", read(GOOD_FIGURE))) == []


@pytest.mark.parametrize(("text", "planted", "fault"), FIGURE_PLANTS)
def test_a_planted_fault_in_a_figure_is_caught(text: str, planted: str, fault: str | None) -> None:
    assert text in GOOD_FIGURE
    found = list(figure_faults("f.yaml", read(GOOD_FIGURE.replace(text, planted, 1))))
    if fault is None:
        assert found == []
    else:
        assert any(fault in one for one in found), found


def test_a_figure_without_its_name_unit_or_places_is_caught() -> None:
    data = read(GOOD_FIGURE)
    told = {"label": "depth of a box", "unit": "in", "places": 1}
    assert list(glossary_faults("f.yaml", data, {"box_depth": told})) == []
    assert list(glossary_faults("f.yaml", data, {})) == ["f.yaml: box_depth: no glossary line"]
    for unit, said in (("A", "unit `A`"), ("", "unit ``"), ("ft", "0.125 is cut to 1 places")):
        found = list(glossary_faults("f.yaml", data, {"box_depth": {**told, "unit": unit}}))
        assert len(found) == 3, unit
        assert all(said in one for one in found), found
    words = read(GOOD_FIGURE.replace("unit: in", "type: text"))
    assert "glossary has a unit for words" in "".join(
        glossary_faults("f.yaml", words, {"box_depth": told})
    )
    faults = list(glossary_faults("f.yaml", data, {"box_depth": {**told, "places": 0}}))
    assert faults == ["f.yaml: box_depth: 1.5 is cut to 0 places when shown"] * 3


GOOD_TABLE = """
says: how far apart
editions:
  2017: {section: Table 1, confirmed: "FOUND: a course page"}
  2020: {section: Table 1, confirmed: MEMORY}
  2023: {section: Table 1, confirmed: MEMORY}
  2026: {section: Table 1, confirmed: MEMORY, rows: [{size: 1/0 AWG, kind: a, spacing: 2}]}
columns:
  size: {type: conductor, key: true}
  kind: {key: true}
  spacing: {unit: ft, head: spacing, confirmed: MEMORY}
rows:
- {size: 8 AWG, kind: a, spacing: 1.5}
- {size: 8 AWG, kind: b, spacing: 2.5, confirmed: MEMORY}
- {size: 6 AWG, kind: a, spacing: null, section: 314.1, confirmed: {spacing: "FOUND: a page"}}
"""

TABLE_PLANTS = [
    ("kind: b", "kind: a", "all row 2: stands twice: 8 AWG, a"),
    ("spacing: 1.5}", "spcaing: 1.5}", "all row 1: unknown key `spcaing`"),
    ("spacing: 1.5}", "spcaing: 1.5}", "all row 1: no cell `spacing`"),
    ("spacing: 1.5}", "spacing: wide}", "`wide` is not a plain number"),
    ("{size: 1/0 AWG", "{size: 5/0 AWG", "t.yaml 2026 row 1 size: `5/0 AWG` is not a conductor"),
    ("b, spacing: 2.5, confirmed: MEMORY", "b, spacing: 2.5, confirmed: seen", "all row 2: `conf"),
    ('{spacing: "FOUND: a page"}', '{spacing: "a page"}', "all row 3: `confirmed` does not"),
    ('{spacing: "FOUND: a page"}', '{spread: "FOUND: a page"}', "names no column: `spread`"),
    ("unit: ft, head: spacing", "unit: ft, heading: spacing", "spacing: unknown key `heading`"),
    ("head: spacing, confirmed: MEMORY", "head: spacing, confirmed: yes", "column spacing: `conf"),
    ("unit: ft, ", "", "column spacing holds numbers without `unit`"),
    ("unit: ft, ", "unit: chain, ", "unknown unit `chain`"),
    ("type: conductor", "type: wire", "unknown type `wire`"),
    ("says: how far apart", "says: how far apart\nnote: x", "t.yaml: unknown key `note`"),
    ("  2017: {section: Table 1, ", "  2017: {", "t.yaml 2017: `section` is missing"),
    ("  2017: {", "  2014: {", "edition 2017 is missing"),
    ("kind: {key: true}\n  sp", "kind: {}\n  sp", "all row 2: stands twice: 8 AWG"),
]


def test_the_good_table_has_no_fault() -> None:
    assert list(table_faults("t.yaml", read(GOOD_TABLE))) == []


@pytest.mark.parametrize(("text", "planted", "fault"), TABLE_PLANTS)
def test_a_planted_fault_in_a_table_is_caught(text: str, planted: str, fault: str) -> None:
    assert text in GOOD_TABLE
    found = list(table_faults("t.yaml", read(GOOD_TABLE.replace(text, planted, 1))))
    assert any(fault in one for one in found), found


def test_a_table_without_rows_or_keys_is_caught() -> None:
    whole = read(GOOD_TABLE)
    faults = list(table_faults("t.yaml", {**whole, "rows": []}))
    assert faults == ["t.yaml 2017: no rows", "t.yaml 2020: no rows", "t.yaml 2023: no rows"]
    columns = {name: {} for name in whole["columns"]}
    assert "t.yaml: no column has `key: true`" in table_faults(
        "t.yaml", {**whole, "columns": columns}
    )
