"""The picture of the panel: every space and breaker once, the new one marked, nothing meets."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packet import render
from packet.drawings.lettering import TEXT_SIZE
from packet.drawings.panel import panel_spaces
from packet.drawings.paper import ROOMS, THICK, THIN, Drawing
from packet.sheets import views
from packet.sheets.directory import directory
from packet.sheets.views import PanelDevice
from tests.pages import checks
from tests.pages.fixtures import FRAME
from tests.pictures.geometry import faults, segments
from tests.pictures.odd_jobs import TEXTS, planned

WORDS = {"before": "Before", "after": "After", "new": "NEW", "empty": "space"}
MIDDLE = 86.0


def _sheet(name: str) -> views.Directory:
    return directory(planned(name).picture)


def _pieces(sheet: views.Directory) -> list[Drawing]:
    return panel_spaces(sheet.spaces, sheet.devices, WORDS)


def _side(pieces: list[Drawing], *, after: bool) -> list[str]:
    """Return the lettering of one of the two panels."""
    return [
        text.text.replace("\u00a0", " ")
        for piece in pieces
        for text in piece.texts
        if (text.x > MIDDLE) == after
    ]


@st.composite
def _panels(draw: st.DrawFn) -> tuple[int, tuple[PanelDevice, ...]]:
    """Any panel that the job file takes: no space twice, but as halves of a tandem breaker."""
    spaces = draw(st.integers(2, 84))
    free = set(range(1, spaces + 1))
    devices = []
    ratings = st.sampled_from(["15\u00a0A", "20\u00a0A", "100\u00a0A", "249.99\u00a0A"])
    for space in range(1, spaces + 1):
        kind = draw(st.sampled_from(["none", "one", "one", "two", "two", "four", "tandem"]))
        wanted = {"two": [0, 2], "four": [0, 1, 2, 3]}.get(kind, [0])
        taken = tuple(space + step for step in wanted)
        if kind == "none" or not free.issuperset(taken):
            continue
        free -= set(taken)
        if kind == "tandem":
            devices += [
                PanelDevice(taken, draw(ratings), "Lights", half) for half in ("upper", "lower")
            ]
        else:
            devices.append(PanelDevice(taken, draw(ratings), "Heater"))
    pairs = [space for space in free if space + 2 in free]
    if pairs:
        space = draw(st.sampled_from(pairs))
        devices.append(PanelDevice((space, space + 2), draw(ratings), "Charger", new=True))
    return spaces, tuple(devices)


@settings(deadline=None, max_examples=15)
@given(_panels())
def test_nothing_meets_in_any_panel(panel: tuple[int, tuple[PanelDevice, ...]]) -> None:
    spaces, devices = panel
    pieces = panel_spaces(spaces, devices, WORDS)
    for piece in (*pieces, *panel_spaces(spaces, devices, WORDS, ROOMS["large"])):
        assert faults(piece) == []
    for after in (False, True):
        texts = _side(pieces, after=after)
        numbers = [int(text) for text in texts if text.isdecimal()]
        assert sorted(numbers) == list(range(1, spaces + 1))
        shown = [one for one in devices if after or not one.new]
        taken = {space for one in shown for space in one.spaces}
        assert texts.count("space") == spaces - len(taken)
        for rating in {one.rating.replace("\u00a0", " ") for one in shown}:
            drawn = sum(text.startswith(rating) or f"NEW {rating}" in text for text in texts)
            assert drawn >= sum(one.rating.replace("\u00a0", " ") == rating for one in shown)


@pytest.mark.parametrize("name", TEXTS)
def test_the_picture_of_every_job_is_without_a_fault(name: str) -> None:
    for piece in _pieces(_sheet(name)):
        assert faults(piece) == []


def test_a_planted_fault_is_caught() -> None:
    (piece,) = _pieces(_sheet("garage"))
    text = next(text for text in piece.texts if "NEW" in text.text)
    piece.texts.append(replace(text, y=text.y + 2))
    assert faults(piece) != []
    piece.texts[-1] = replace(text, y=text.y + 6.2)
    assert faults(piece) != []


def test_the_new_breaker_is_heavy_says_so_and_stands_on_its_spaces() -> None:
    (piece,) = _pieces(_sheet("garage"))
    heavy = [path for path in piece.paths if path.width == THICK]
    assert len(heavy) == 1
    assert all(path.width == THIN for path in piece.paths if path is not heavy[0])
    edges = segments(heavy[0])
    top, bottom = min(s[1] for s in edges), max(s[3] for s in edges)
    left, right = min(s[0] for s in edges), max(s[2] for s in edges)
    assert left > MIDDLE, "it is on the panel after the work"
    inside = [t.text for t in piece.texts if left < t.x < right and top < t.y < bottom]
    assert [text.replace("\u00a0", " ") for text in inside] == ["NEW 50 A"]
    beside = [t.text for t in piece.texts if MIDDLE < t.x < left and top < t.y < bottom]
    assert beside == ["19", "21"]
    assert not any("NEW" in text for text in _side([piece], after=False))


def test_a_tandem_breaker_has_two_frames_in_one_space() -> None:
    (piece,) = _pieces(_sheet("pedestal"))
    number = next(text for text in piece.texts if text.text == "21" and text.x < MIDDLE)
    frames = [segments(path) for path in piece.paths[1:]]
    halves = [
        frame
        for frame in frames
        if frame[0][0] < 40 and abs(sum(s[1] for s in frame) / 4 - number.y + 1.5) < 6
    ]
    assert len(halves) == 2
    texts = [t.text for t in piece.texts if t.x < 40 and abs(t.y - number.y) < 6]
    assert texts.count("15\u00a0A") == 2


def test_a_four_space_device_is_drawn_on_both_sides_and_names_the_other() -> None:
    texts = _side(_pieces(_sheet("84 spaces")), after=False)
    assert "200 A + 2" in texts
    assert "200 A + 1" in texts


def test_lettering_is_readable_at_arm_s_length() -> None:
    """NUREG-0700, 11.4.1.5-1: at least 15 minutes of arc, which is distance x 0.004."""
    arm = 600
    for piece in _pieces(_sheet("84 spaces")):
        assert all(text.size == TEXT_SIZE for text in piece.texts)
    assert arm * 0.004 <= TEXT_SIZE * 0.698


@pytest.mark.parametrize(("name", "spaces"), [("84 spaces", 84), ("5 spaces", 5)])
def test_the_table_has_each_space_once_and_no_other(name: str, spaces: int) -> None:
    sheet = _sheet(name)
    numbers = [row.number for pair in sheet.pairs for row in pair if row.number.isdecimal()]
    assert [int(number) for number in numbers] == list(range(1, spaces + 1))


@pytest.mark.parametrize("name", TEXTS)
def test_cells_of_the_table_cover_each_column_exactly(name: str) -> None:
    """A cell that reaches too far, or not far enough, puts a circuit beside a wrong number."""
    sheet = _sheet(name)
    for column in (sheet.left, sheet.right):
        for when in ("before", "after"):
            row = 0
            while row < len(column):
                cell = getattr(column[row], when)
                assert cell is not None
                assert all(getattr(r, when) is None for r in column[row + 1 : row + cell.rows])
                row += cell.rows
            assert row == len(column)


def test_quadruple_breakers_share_a_cell() -> None:
    """Two halves outside, a two-pole circuit across the two inner halves."""
    device = PanelDevice
    devices = (
        device((1,), "20\u00a0A", "Lights", "upper"),
        device((1, 3), "30\u00a0A", "Dryer", "lower"),
        device((3,), "20\u00a0A", "Bath", "upper"),
        device((2, 4), "50\u00a0A", "Charger", new=True),
    )
    (piece,) = panel_spaces(6, devices, WORDS)
    assert faults(piece) == []
    texts = _side([piece], after=False)
    assert texts.count("30 A + 3") == texts.count("30 A + 1") == 1


def _title(sheet: views.Directory) -> str:
    html = render.html(views.SheetSet(FRAME, views.Outcome.READY, (sheet,)), "letter")
    found = re.findall(r"<title>(.*?)</title>", html, re.DOTALL)[1]
    return re.sub(r"\s+", " ", found).replace("\u00a0", " ")


def test_the_text_tells_what_is_there_and_what_is_new() -> None:
    text = _title(_sheet("pedestal"))
    before, _, after = text.partition("After:")
    assert "1 and 3: 40 A Wall oven, kitchen" in before
    assert "21 (upper half): 15 A Bedrooms east" in before
    assert "NEW" not in before
    assert "NEW in 24 and 26: 60 A" in after


@pytest.mark.parametrize("name", ["84 spaces", "5 spaces"])
def test_odd_panels_print_without_a_fault(name: str) -> None:
    sheets = views.SheetSet(FRAME, views.Outcome.READY, (_sheet(name),))
    letter = checks.printed(sheets, "letter")
    assert checks.every_fault(letter, sheets) == []
    if name == "5 spaces":
        assert checks.unlike_papers(letter, checks.printed(sheets, "a4")) == []
