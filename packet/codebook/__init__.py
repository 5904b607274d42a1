"""The code book: published figures by edition, each with its section and how it was confirmed.

``figures/*.yaml`` hold single values and bare rules by subject, ``tables/*.yaml`` one
table each, ``documents.yaml`` the publications they come from and ``coverage.yaml`` what
is encoded and what is not. This module only hands them out as entries; it decides
nothing. The shape of the files is described in DEVELOPERS.md and held by the hygiene
tests.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from importlib.resources import files
from typing import Any

from packet.ledger import Citation, Entry, Kind
from packet.quantities import (
    ConductorSize,
    Quantity,
    TradeSize,
    magnitude,
    parse_decimal,
    quantity,
    show_number,
    with_unit,
)
from packet.textdata import load

EDITIONS = ("2017", "2020", "2023", "2026")
"""Editions of the NEC that are encoded; any other is refused."""

MEMORY = "MEMORY"
"""First word of `confirmed` where nobody has seen the printed source."""

NOTES_OF_A_ROW = ("section", "confirmed")
"""What a table row may hold beside its cells."""


class EditionNotEncoded(LookupError):
    """The asked edition, or a figure of it, is not in the code book."""


@dataclass(frozen=True)
class Book:
    """The code book as one edition has it.

    Parameters
    ----------
    edition : str
        ``2017``, ``2020``, ``2023`` or ``2026``.

    Raises
    ------
    EditionNotEncoded
        For any other edition; the message lists the encoded ones.
    """

    edition: str

    def __post_init__(self) -> None:
        if self.edition not in EDITIONS:
            raise EditionNotEncoded(
                f"edition {self.edition} is not encoded; encoded: {', '.join(EDITIONS)}"
            )

    def has(self, name: str) -> bool:
        """Say whether this edition has the figure or rule `name` (False where it is absent)."""
        return not self._line(name).get("absent", False)

    def knows(self, name: str) -> bool:
        """Say whether this edition's value of `name` is encoded.

        False where the edition does not have it, and where it has it but nobody has
        seen the figure: then the reader must be asked.
        """
        return "value" in self._line(name)

    def cite(self, name: str, at: str = "") -> Citation:
        """Return where this edition states the figure or rule `name`.

        For a rule that is absent from this edition the section given is the place
        where other editions have it.
        """
        return _cited(self, name, at)

    def figure(self, name: str, as_name: str | None = None) -> Entry:
        """Return a figure as an entry, under its own name or `as_name`.

        Raises
        ------
        EditionNotEncoded
            When this edition does not have the figure, or its value is not known.
        """
        return _figure(self, name, as_name or name)

    def table(self, name: str) -> Table:
        """Return the table `name` as this edition has it.

        Raises
        ------
        EditionNotEncoded
            When there is no such table.
        """
        return _table_of(name, self.edition)

    def _whole(self, name: str) -> dict[str, Any]:
        try:
            return figures()[name]
        except KeyError:
            raise EditionNotEncoded(f"`{name}` is not in the code book") from None

    def _line(self, name: str) -> dict[str, Any]:
        return _by_edition(self._whole(name), self.edition, name)


@cache
def _cited(book: Book, name: str, at: str) -> Citation:
    return _citation(book._whole(name), book.edition, book._line(name), at)


@cache
def _figure(book: Book, name: str, as_name: str) -> Entry:
    line = book._line(name)
    if "value" not in line:
        why = "is not known in" if line.get("unknown") else "has no value in"
        raise EditionNotEncoded(f"`{name}` {why} the {book.edition} edition")
    whole = book._whole(name)
    value = typed(line["value"], whole.get("unit"), whole.get("type"))
    return Entry(as_name, value, Kind.FIGURE, (book.cite(name),))


@dataclass(frozen=True, eq=False)
class Table:
    """One table of the code book, rows in the order of the source."""

    name: str
    columns: Mapping[str, Mapping[str, Any]]
    cite: Citation
    typed_rows: tuple[Mapping[str, Any], ...]

    def rows(self) -> Iterator[dict[str, Any]]:
        """Yield each row with its cells typed by the table's `columns`; an empty cell is None."""
        return (dict(row) for row in self.typed_rows)

    def where(self, **keys: Any) -> Iterator[dict[str, Any]]:
        """Yield the rows whose cells equal `keys`."""
        return (
            row
            for row in self.rows()
            if all(row.get(column) == wanted for column, wanted in keys.items())
        )

    def row(self, **keys: Any) -> dict[str, Any]:
        """Return the first row that `keys` names.

        Raises
        ------
        LookupError
            When there is no such row.
        """
        for row in self.where(**keys):
            return row
        wanted = ", ".join(f"{column} {self._shown(column, cell)}" for column, cell in keys.items())
        raise LookupError(f"{self.cite.section} has no row for {wanted}")

    def entry(self, entry_name: str, column: str, row: Mapping[str, Any]) -> Entry:
        """Return one cell of `row` as an entry that cites table, row and column.

        Raises
        ------
        LookupError
            When the table has no figure in that cell.
        """
        at = ", ".join(
            self._shown(name, row[name]) + str(line.get("suffix", ""))
            for name, line in self.columns.items()
            if line.get("key") and row.get(name) is not None
        )
        head = str(self.columns[column].get("head", column))
        section = str(row.get("section", self.cite.section))
        value = row.get(column)
        if value is None:
            raise LookupError(f"{section} has no figure at {at}, {head}")
        citation = replace(
            self.cite,
            at=", ".join(part for part in (at, head) if part),
            section=section,
            confirmed=self._confirmed(column, row),
        )
        return Entry(entry_name, value, Kind.FIGURE, (citation,))

    def cells(self) -> Iterator[tuple[str, Mapping[str, Any], str]]:
        """Yield column, row and `confirmed` of every cell that holds a figure.

        The key columns only lead to a figure, except in a table that is a bare list.
        """
        answers = [name for name, line in self.columns.items() if not line.get("key")]
        for row in self.typed_rows:
            for column in answers or self.columns:
                if row.get(column) is not None:
                    yield column, row, self._confirmed(column, row)

    def _shown(self, column: str, cell: Any) -> str:
        if not isinstance(cell, Quantity):
            return str(cell)
        unit = str(self.columns[column].get("unit", ""))
        number = magnitude(cell, unit or "dimensionless")
        places = max(0, -int(number.as_tuple().exponent))
        return with_unit(show_number(number, places), unit)

    def _confirmed(self, column: str, row: Mapping[str, Any]) -> str:
        """Return the word for one cell: MEMORY wins, else the nearest to the cell."""
        of_row = row.get("confirmed")
        words = (
            of_row.get(column) if isinstance(of_row, Mapping) else of_row,
            self.columns[column].get("confirmed"),
            self.cite.confirmed,
        )
        said = [str(word) for word in words if word]
        return next((word for word in said if word.startswith(MEMORY)), said[0])


@dataclass(frozen=True)
class Unconfirmed:
    """A figure, rule or table that still rests on memory in one edition.

    `cells` of the `of` figures it holds are from memory; a single figure or a bare
    rule counts as one.
    """

    name: str
    says: str
    cite: Citation
    cells: int = 1
    of: int = 1


def memory_figures(edition: str) -> tuple[Unconfirmed, ...]:
    """Return everything of the code book that rests on memory in `edition`, by name.

    Raises
    ------
    EditionNotEncoded
        For an edition that is not encoded.
    """
    book = Book(edition)
    return tuple(sorted((*_memory_lines(book), *_memory_tables(book)), key=lambda one: one.name))


def _memory_lines(book: Book) -> Iterator[Unconfirmed]:
    for name, whole in figures().items():
        cite = book.cite(name)
        if cite.confirmed.startswith(MEMORY):
            yield Unconfirmed(name, str(whole["says"]), cite)


def _memory_tables(book: Book) -> Iterator[Unconfirmed]:
    for name in table_names():
        table = book.table(name)
        words = [confirmed for _, _, confirmed in table.cells()]
        cells = sum(word.startswith(MEMORY) for word in words)
        if cells:
            yield Unconfirmed(name, str(_table_file(name)["says"]), table.cite, cells, len(words))


def typed(value: Any, unit: str | None, kind: str | None) -> Any:
    """Return a value of a data file as what its `unit` or its `type` says it is.

    Raises
    ------
    ValueError
        When the text is no such value.
    """
    if value is None:
        return None
    match kind:
        case "conductor":
            return ConductorSize(str(value))
        case "trade_size":
            return TradeSize(str(value))
        case "date":
            return date.fromisoformat(str(value))
        case "list":
            return tuple(typed(item, unit, None) for item in value)
    if unit is not None:
        return quantity(parse_decimal(str(value)), unit)
    return value


def _citation(
    whole: Mapping[str, Any], edition: str, line: Mapping[str, Any], at: str = ""
) -> Citation:
    document = whole.get("document", "NEC")
    return Citation(
        document,
        edition if document == "NEC" else str(line.get("document_edition", "")),
        str(line["section"]),
        str(line["confirmed"]),
        at,
    )


def _by_edition(whole: Mapping[str, Any], edition: str, name: str) -> dict[str, Any]:
    try:
        line: dict[str, Any] = whole["editions"][edition]
    except KeyError:
        raise EditionNotEncoded(f"`{name}` is not encoded for the {edition} edition") from None
    return line


@cache
def _table_of(name: str, edition: str) -> Table:
    data = _table_file(name)
    line = _by_edition(data, edition, name)
    columns = data["columns"]
    rows = line["rows"] if "rows" in line else data["rows"]
    return Table(
        name,
        columns,
        _citation(data, edition, line),
        tuple(
            {
                column: cell
                if column in NOTES_OF_A_ROW
                else typed(cell, columns[column].get("unit"), columns[column].get("type"))
                for column, cell in row.items()
            }
            for row in rows
        ),
    )


@cache
def figures() -> dict[str, dict[str, Any]]:
    """Return every figure and bare rule of the code book by name, as written in the files."""
    found: dict[str, dict[str, Any]] = {}
    for path in _data_files("figures"):
        for name, line in read(path.read_text("utf-8")).items():
            if name in found:
                raise ValueError(f"`{name}` stands twice in the code book")
            found[name] = line
    return found


@cache
def table_names() -> tuple[str, ...]:
    """Return the names of the tables of the code book."""
    return tuple(path.name.removesuffix(".yaml") for path in _data_files("tables"))


@cache
def documents() -> dict[str, dict[str, Any]]:
    """Return the cited publications by the name a citation gives them."""
    lines: dict[str, dict[str, Any]] = _read_beside("documents.yaml")
    return lines


@cache
def coverage() -> dict[str, list[dict[str, Any]]]:
    """Return, by kind of work, the sections that are encoded and those that are not."""
    lines: dict[str, list[dict[str, Any]]] = _read_beside("coverage.yaml")
    return lines


@cache
def _table_file(name: str) -> dict[str, Any]:
    if name not in table_names():
        raise EditionNotEncoded(f"the table `{name}` is not in the code book")
    data: dict[str, Any] = _read_beside("tables", f"{name}.yaml")
    return data


def _data_files(folder: str) -> Iterable[Any]:
    paths = (files("packet") / "codebook" / folder).iterdir()
    return sorted((path for path in paths if path.name.endswith(".yaml")), key=lambda at: at.name)


def _read_beside(*path: str) -> Any:
    return read((files("packet") / "codebook").joinpath(*path).read_text("utf-8"))


def read(text: str) -> Any:
    """Read a data file with every scalar as text, so that nothing is rounded or guessed.

    Only the words null, true and false become what they say.

    Raises
    ------
    ValueError
        When one name stands twice in a mapping: the second would hide the first.
    """
    return _plain(load(text))


def _plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: _plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_plain(value) for value in node]
    return {"null": None, "true": True, "false": False}.get(node, node)
