"""The one-line diagram: nothing meets, everything is named, in the order the power flows."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packet import render
from packet.drawings.lettering import wrapped
from packet.drawings.one_line import TRUNK, one_line
from packet.drawings.paper import REGULAR, ROOMS, THICK, THIN, Drawing, Room, Text
from packet.drawings.symbols import SHAPES
from packet.sheets import diagram, views
from packet.sheets.views import SideSymbol, Symbol
from tests.pages import checks
from tests.pages.fixtures import FRAME, ONE_LINE, ONE_LINE_SYMBOLS
from tests.pictures.geometry import faults, lettering, segments
from tests.pictures.odd_jobs import LONGEST, TEXTS, UNBROKEN, planned

WORDS = {
    "new": "NEW",
    "existing": "existing",
    "remove": "REMOVE",
    "before": "from the part above",
    "after": "to the next part",
}
STATES = ("new", "existing", "remove")
SIDES = ("electrode", "bonding", "apart", "loads", "manager")
KINDS = tuple(kind for kind in SHAPES if kind not in SIDES)

_names = st.text("abcdefgWMij ", min_size=1, max_size=60) | st.sampled_from(
    ["W" * LONGEST, "panel " * 50]
)


def _side(kind: str) -> st.SearchStrategy[SideSymbol]:
    """A ground hangs outside the enclosure; all else branches off inside."""
    return st.builds(
        SideSymbol,
        st.just(kind),
        st.sampled_from(["7", "88", "199"]),
        _names,
        st.just("") | _names,
        st.sampled_from(STATES),
        inside=st.just(kind != "electrode"),
        letters=st.sampled_from(["", "EM"]),
    )


_sides = st.sampled_from(SIDES).flatmap(_side)
_symbols = st.builds(
    Symbol,
    st.sampled_from(KINDS),
    st.sampled_from(["3", "24", "108"]),
    _names,
    st.just("") | _names,
    st.sampled_from(STATES),
    run=st.just("") | _names,
    enclosure=st.sampled_from(["", "Panel A", "Panel B", "W" * LONGEST]),
    sides=st.lists(_sides, max_size=3).map(tuple),
    letters=st.sampled_from(["", "WH"]),
)


def _with_one_ground(symbol: Symbol) -> Symbol:
    """Leave one thing outside the enclosure, as every job has at most."""
    outside = [side for side in symbol.sides if not side.inside]
    inside = [side for side in symbol.sides if side.inside]
    return replace(symbol, sides=(*outside[:1], *inside))


@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS)
@pytest.mark.parametrize("name", TEXTS)
def test_no_odd_job_has_a_fault_in_its_diagram(name: str, room: Room) -> None:
    for part in one_line(diagram.one_line(planned(name)).symbols, WORDS, room):
        assert faults(part.drawing) == []


@settings(deadline=None, max_examples=8, derandomize=True)
@given(st.lists(_symbols, min_size=1, max_size=10).map(tuple))
def test_nothing_meets_and_everything_fits_a_page(symbols: tuple[Symbol, ...]) -> None:
    """Any number of items in any order, with names as long as a job file may have them."""
    parts = one_line(symbols, WORDS)
    for part in parts:
        assert faults(part.drawing) == []
        assert part.drawing.height <= REGULAR.tallest
    assert tuple(symbol for part in parts for symbol in part.symbols) == symbols


@settings(deadline=None, max_examples=4, derandomize=True)
@given(st.lists(_symbols.map(_with_one_ground), min_size=1, max_size=10).map(tuple))
def test_nothing_meets_and_everything_fits_a_page_of_large_print(
    symbols: tuple[Symbol, ...],
) -> None:
    parts = one_line(symbols, WORDS, ROOMS["large"])
    for part in parts:
        assert faults(part.drawing) == []
        assert part.drawing.height <= ROOMS["large"].tallest
    assert tuple(symbol for part in parts for symbol in part.symbols) == symbols


@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS)
def test_the_tallest_single_item_fits_a_page(room: Room) -> None:
    """Every label at its longest: what cannot be parted is still lower than a page.

    So no accepted job can be refused for its diagram; a job has three things beside a symbol
    at most.
    """
    long = "W" * LONGEST
    sides = tuple(
        SideSymbol(kind, "199", long, long, inside=inside)
        for kind, inside in (("manager", True), ("electrode", False), ("apart", True))
    )
    for kind in KINDS:
        item = Symbol(kind, "199", long, long, run=long, enclosure=long, sides=sides)
        parts = one_line((item, item, item), WORDS, room)
        assert all(part.drawing.height <= room.tallest for part in parts)
        assert len(parts) > 1


def test_no_job_has_more_beside_a_symbol() -> None:
    for name in TEXTS:
        for symbol in diagram.one_line(planned(name)).symbols:
            assert len(symbol.sides) <= 3
            assert sum(not side.inside for side in symbol.sides) <= 1


def _planted(change: str) -> Drawing:
    (part,) = one_line(ONE_LINE_SYMBOLS, WORDS)
    placed = part.drawing
    text = next(text for text in placed.texts if "Meter" in text.text)
    match change:
        case "label on a label":
            placed.texts.append(replace(text, x=text.x + 4, y=text.y + 2))
        case "label on the trunk":
            placed.texts.append(replace(text, x=TRUNK - 3, y=text.y + 9))
        case "label on a symbol":
            placed.texts.append(replace(text, x=TRUNK + 4))
        case "label off the page":
            placed.texts.append(Text(160, 3, "reaches beyond the edge"))
        case "line through a label":
            placed.line(text.x, text.y - 1, text.x + 20, text.y - 1)
        case "small type":
            placed.texts.append(Text(1, 20, "small", size=3.4))
        case "thin line":
            placed.line(1, 150, 5, 150, width=0.2)
        case "too tall":
            placed.height = 230
    return placed


@pytest.mark.parametrize(
    "change",
    [
        "label on a label",
        "label on the trunk",
        "label on a symbol",
        "label off the page",
        "line through a label",
        "small type",
        "thin line",
        "too tall",
    ],
)
def test_a_planted_fault_is_caught(change: str) -> None:
    assert faults(_planted("nothing")) == []
    assert faults(_planted(change)) != []


@settings(deadline=None, max_examples=6, derandomize=True)
@given(st.lists(_symbols, min_size=1, max_size=8).map(tuple))
def test_every_item_has_its_number_its_name_and_its_state(symbols: tuple[Symbol, ...]) -> None:
    parts = one_line(symbols, WORDS)
    for part in parts:
        texts = [text.text for text in part.drawing.texts]
        for item in (i for symbol in part.symbols for i in (symbol, *symbol.sides)):
            assert item.number in texts
            assert f"({WORDS[item.state]})" in lettering(part.drawing)
            start = wrapped(item.name, 38.0, bold=True)[0].replace(" ", "")
            assert start in lettering(part.drawing)


def test_what_is_cut_on_the_drawing_stands_whole_in_the_table() -> None:
    """A label has few lines; its number leads to the row that has all of it."""
    sheet = diagram.one_line(planned("unbroken names"))
    drawn = "".join(lettering(part.drawing) for part in one_line(sheet.symbols, WORDS))
    assert UNBROKEN not in drawn
    html = render.html(views.SheetSet(FRAME, views.Outcome.READY, (sheet,)), "letter")
    table = html[html.index("<table") :]
    assert table.count(UNBROKEN) >= 2


def test_parts_are_tied_by_arrows_and_words() -> None:
    parts = one_line(ONE_LINE_SYMBOLS * 4, WORDS)
    assert len(parts) > 2
    for number, part in enumerate(parts):
        words = [text.text for text in part.drawing.texts]
        assert (WORDS["before"] in words) == (number > 0)
        assert (WORDS["after"] in words) == (number < len(parts) - 1)


@pytest.mark.parametrize("name", ["garage", "cellar", "pedestal", "detached building"])
def test_trunk_runs_down_without_a_gap(name: str) -> None:
    (part,) = one_line(diagram.one_line(planned(name)).symbols, WORDS)
    pieces = sorted(
        (min(y1, y2), max(y1, y2))
        for path in part.drawing.paths
        for x1, y1, x2, y2 in segments(path)
        if abs(x1 - TRUNK) < 6.1 and abs(x2 - TRUNK) < 6.1
    )
    reached = pieces[0][1]
    for start, end in pieces:
        if start > reached + 0.01:
            # the open blade of a disconnect is the one place where the line is open
            assert start - reached < 3.0
            assert "disconnect" in lettering(part.drawing).lower()
        reached = max(reached, end)
    assert reached > part.drawing.height - 16, "the trunk reaches the outlet"


def test_new_is_heavy_and_existing_is_thin_and_each_says_so() -> None:
    for state in STATES:
        (part,) = one_line((Symbol("box", "1", "Box", state=state),), WORDS)
        (path,) = [path for path in part.drawing.paths if path.d == SHAPES["box"].d]
        assert path.width == (THICK if state == "new" else THIN)
        assert bool(path.dashes) == (state == "remove")
        assert f"({WORDS[state]})" in lettering(part.drawing)
    strokes = [path for path in part.drawing.paths if not path.dashes and path.d.count("M") == 2]
    assert strokes, "what is removed has two strokes across"
    assert THICK / THIN >= 2  # ASME Y14.2: about 2 to 1


def test_enclosure_holds_its_symbols_and_its_conductors_stand_before_it() -> None:
    (part,) = one_line(diagram.one_line(planned("cellar")).symbols, WORDS)
    frames = [segments(path) for path in part.drawing.paths if path.dashes and "H" in path.d]
    assert len(frames) == 2
    rows = {text.text.replace("\u00a0", " "): text.y for text in part.drawing.texts}
    for frame, name, inside in zip(
        frames, ("Panel A", "Cellar panel"), ("Feeder breaker", "Panel bus"), strict=True
    ):
        top, bottom = min(s[1] for s in frame), max(s[3] for s in frame)
        assert top < rows[name] < rows[f"{inside} (existing)"] < bottom
    run = next(y for text, y in rows.items() if text.startswith("2 × 2 AWG aluminum"))
    assert max(s[3] for s in frames[0]) < run < min(s[1] for s in frames[1])


# What a job puts on the diagram.


def _kinds(name: str) -> list[str]:
    return [
        item.kind
        for symbol in diagram.one_line(planned(name)).symbols
        for item in (symbol, *symbol.sides)
    ]


SERVICE = ["utility", "meter", "breaker", "electrode", "bonding"]


@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("garage", [*SERVICE, "bus", "loads", "breaker", "receptacle"]),
        ("cellar", [*SERVICE, "breaker", "bus", "apart", "loads", "breaker", "fixed"]),
        (
            "subpanel with a main",
            [*SERVICE, "breaker", "breaker", "bus", "apart", "loads", "breaker", "fixed"],
        ),
        ("pedestal", [*SERVICE, "bus", "loads", "breaker", "box", "fixed"]),
        ("detached building", [*SERVICE, "bus", "loads", "breaker", "box", "switch", "fixed"]),
        (
            "detached building with a disconnect",
            [*SERVICE, "bus", "loads", "breaker", "box", "switch", "fixed"],
        ),
        (
            "energy management",
            [*SERVICE[:3], "manager", *SERVICE[3:], "bus", "loads", "breaker", "receptacle"],
        ),
    ],
)
def test_what_a_job_says_is_drawn(name: str, kinds: list[str]) -> None:
    assert _kinds(name) == kinds


def test_a_subpanel_has_no_bonding_jumper() -> None:
    """NEC 250.24(A)(5) and 408.40: neutral and ground are joined at the service only."""
    for symbol in diagram.one_line(planned("cellar")).symbols:
        if symbol.enclosure == "Cellar panel":
            assert all(side.kind != "bonding" for side in symbol.sides)


def test_everything_ahead_exists_and_the_circuit_is_new() -> None:
    for name in TEXTS:
        symbols = diagram.one_line(planned(name)).symbols
        states = [symbol.state for symbol in symbols]
        first = states.index("new")
        assert symbols[first].kind == "breaker"
        assert set(states[:first]) == {"existing"}
        assert set(states[first:]) == {"new"}


@pytest.mark.parametrize(
    ("name", "state"),
    [("energy management", "existing"), ("new energy management, supply not known", "new")],
)
def test_energy_management_is_new_where_the_job_says_so(name: str, state: str) -> None:
    symbols = diagram.one_line(planned(name)).symbols
    (manager,) = [side for one in symbols for side in one.sides if side.kind == "manager"]
    assert manager.state == state


@pytest.mark.parametrize(
    ("name", "conductors", "to_earth"),
    [
        ("garage", "4/0 AWG aluminum XHHW-2 service conductors", "conductor 4 AWG"),
        (
            "cellar",
            "2/0 AWG aluminum service conductors, type not known",
            "conductor not known",
        ),
        (
            "new energy management, supply not known",
            "service conductors not known",
            "conductor not known",
        ),
    ],
)
def test_what_is_not_known_of_the_supply_is_said(name: str, conductors: str, to_earth: str) -> None:
    symbols = diagram.one_line(planned(name)).symbols
    (main,) = [one for one in symbols if any(side.kind == "electrode" for side in one.sides)]
    (electrode,) = [side for side in main.sides if side.kind == "electrode"]
    assert main.conductor.replace("\u00a0", " ") == conductors
    assert electrode.rating.replace("\u00a0", " ") == to_earth


def test_every_part_of_the_route_is_in_the_table_once() -> None:
    for name in ("garage", "cellar", "pedestal", "boxes everywhere", "detached building"):
        plan = planned(name)
        ways = [way for s in diagram.one_line(plan).symbols if s.state == "new" for way in s.ways]
        assert len(ways) == len(plan.parts)


def test_items_are_numbered_in_the_order_of_the_table() -> None:
    symbols = diagram.one_line(planned("energy management")).symbols
    numbers = [item.number for s in symbols for item in (s, *s.sides)]
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)]


# What the picture says for those who do not see it.


def _titles(sheet: views.OneLine) -> list[str]:
    html = render.html(views.SheetSet(FRAME, views.Outcome.READY, (sheet,)), "letter")
    return [
        re.sub(r"\s+", " ", title)
        for title in re.findall(r"<title>(.*?)</title>", html, re.DOTALL)[1:-1]
    ]


@pytest.mark.parametrize("name", ["garage", "cellar", "detached building", "boxes everywhere"])
def test_the_text_follows_the_power_from_the_utility_to_the_outlet(name: str) -> None:
    sheet = diagram.one_line(planned(name))
    text = " ".join(_titles(sheet))
    assert text.startswith("One-line diagram")
    places = []
    for item in (i for symbol in sheet.symbols for i in (symbol, *symbol.sides)):
        found = re.search(rf" {item.number} {re.escape(item.name)}, ", text)
        assert found, item.name
        places.append(found.start())
    assert all(one < other for one, other in pairwise(places))
    assert text.endswith("end of the line.")


def test_the_text_names_conductors_before_what_they_lead_to() -> None:
    (text,) = _titles(diagram.one_line(planned("cellar")))
    assert text.index("2 × 2 AWG aluminum") < text.index("Panel bus")
    assert text.index("2 × 10 AWG copper") < text.index("Small wall charger")


@pytest.mark.parametrize(
    ("name", "papers"), [("boxes everywhere", ["letter"]), ("long names", ["letter", "a4"])]
)
def test_diagrams_print_without_a_fault(name: str, papers: list[str]) -> None:
    sheets = views.SheetSet(FRAME, views.Outcome.READY, (diagram.one_line(planned(name)),))
    pages = [checks.printed(sheets, paper) for paper in papers]
    for one in pages:
        assert checks.every_fault(one, sheets) == []
        assert checks.unlike_papers(pages[0], one) == []


def test_the_ordinary_diagram_is_one_part() -> None:
    assert len(one_line(ONE_LINE.symbols, WORDS)) == 1
    for name in ("garage", "cellar", "pedestal", "long names", "subpanel with a main"):
        assert len(one_line(diagram.one_line(planned(name)).symbols, WORDS)) == 1
