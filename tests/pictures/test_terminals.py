"""The pictures of sheet E: every conductor lands on the terminal that its torque row names."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import product

import pytest

from packet import render
from packet.drawings.paper import ROOMS, THICK, Drawing
from packet.drawings.terminals import BOX_LEFT, FACES, JOINT, TERMINAL, terminals
from packet.jobfile.schema import keys
from packet.sheets import views
from packet.sheets.forms import torque
from packet.sheets.views import Landing, TerminalPicture
from tests.pages import checks
from tests.pages.fixtures import FRAME
from tests.pictures.geometry import faults, segments
from tests.pictures.odd_jobs import LONGEST, TEXTS, planned

WORDS = {"row": "row"}


def _sheet(name: str) -> views.Torque:
    plan = planned(name)
    assert plan.installed is not None
    return torque(plan.installed, plan.ledger)


def _ends(name: str) -> tuple[TerminalPicture, TerminalPicture]:
    outlet, panel = _sheet(name).pictures
    return outlet, panel


def _landed(name: str) -> dict[str, tuple[str, str, str]]:
    """Return row -> conductor, color, terminal of both ends."""
    return {
        one.row: (one.role, one.color, one.terminal)
        for picture in _ends(name)
        for one in picture.landings
    }


@pytest.mark.parametrize("name", TEXTS)
def test_each_conductor_lands_on_the_terminal_of_its_torque_row(name: str) -> None:
    sheet = _sheet(name)
    rows = {f"E-{row.number}": row for group in sheet.groups for row in group.rows}
    landings = [one for picture in sheet.pictures for one in picture.landings]
    assert sorted(one.row for one in landings) == sorted(rows)
    for one in landings:
        row = rows[one.row]
        assert one.terminal == row.terminal
        assert one.size in (row.wire.split(";")[0], "")
        word = {"Hot, L1": "L1", "Hot, L2": "L2", "Neutral": "eutral", "Ground": "round"}
        if one.role in word:
            assert word[one.role] in row.terminal


@pytest.mark.parametrize("name", TEXTS)
def test_the_drawing_has_each_conductor_at_the_height_of_its_terminal(name: str) -> None:
    """Read back from the drawing: the line from a label ends at the label of its own row."""
    for picture in _ends(name):
        placed = terminals(picture, WORDS)
        assert faults(placed) == []
        heights = sorted(
            s[0][1]
            for s in map(segments, placed.paths)
            if len(s) == 1 and s[0][2] == TERMINAL and s[0][1] == s[0][3]
        )
        assert len(heights) == len(picture.landings)
        for y, one in zip(heights, picture.landings, strict=True):
            near = [t for t in placed.texts if t.text == f"row {one.row}"]
            (row,) = near
            assert abs(row.y - y) < 9
            others = [other for other in heights if other != y]
            assert all(abs(row.y - y) <= abs(row.y - other) for other in others)


def test_a_wrong_row_is_caught() -> None:
    picture = _ends("garage")[0]
    first, second, *rest = picture.landings
    swapped = (replace(first, row=second.row), replace(second, row=first.row), *rest)
    rows = {f"E-{r.number}": r for g in _sheet("garage").groups for r in g.rows}
    assert any(rows[one.row].terminal != one.terminal for one in swapped)


def test_neutral_of_a_gfci_circuit_lands_on_the_breaker_and_its_lead_on_the_bar() -> None:
    landed = _landed("garage")
    assert ("Neutral", "white", "New breaker, neutral terminal") in landed.values()
    panel = _ends("garage")[1]
    (lead,) = [one for one in panel.landings if one.starts_inside]
    assert lead.device == "Neutral bar"


def test_neutral_of_a_plain_circuit_lands_on_the_bar() -> None:
    landed = _landed("breaker without GFCI")
    assert ("Neutral", "white", "Neutral bar, neutral of the new circuit") in landed.values()
    assert not any("neutral terminal" in terminal for _, _, terminal in landed.values())


@pytest.mark.parametrize(
    ("name", "colors"),
    [
        # NEC 200.7(C)(1): a white conductor used as a hot is marked; 250.119: green or bare
        ("garage", {"black", "red", "white", "bare"}),
        ("6-50 in a metal box", {"black", "white, wrapped with black tape", "bare"}),
        ("pedestal", {"black", "red", "green"}),
    ],
)
def test_colors_are_words(name: str, colors: set[str]) -> None:
    assert {color for _, color, _ in _landed(name).values() if color} == colors


@pytest.mark.parametrize(
    ("name", "enclosure", "jumper"),
    [
        ("garage", "Metal box: Outlet box", True),
        ("6-50 in a metal box", "Metal box: Outlet box", True),
        ("6-50 in a nonmetallic box", "Nonmetallic box: Outlet box", False),
        ("no box named", "Outlet box, not known: see sheet A", False),
        ("pedestal", "Wiring space of the charger", False),
    ],
)
def test_the_jumper_goes_to_a_metal_box_and_to_no_other(
    name: str, enclosure: str, jumper: bool
) -> None:
    picture = _ends(name)[0]
    assert picture.enclosure == enclosure
    assert bool(picture.jumper) == jumper
    placed = terminals(picture, WORDS)
    assert _jumpers(placed) == int(jumper)
    if jumper:
        assert "10\u00a0AWG copper" in picture.jumper  # Table 250.122: 60 A and less, copper


def _jumpers(placed: Drawing) -> int:
    """Count heavy upright lines from the joint of the grounds up to the wall of the box."""
    top = min(t.y for t in placed.texts)
    return sum(
        1
        for path in placed.paths
        for x1, y1, x2, y2 in segments(path)
        if path.width == THICK and x1 == x2 == JOINT and min(y1, y2) < top and y2 > y1
    )


@pytest.mark.parametrize("name", TEXTS)
def test_only_the_ground_is_joined_to_the_box(name: str) -> None:
    for picture in _ends(name):
        assert {one.role for one in picture.landings if one.bonded} <= {"Ground"}


LETTERS = {"6": "XYG", "14": "XYWG"}
"""ANSI/NEMA WD 6, from memory: 6-xx has two hots and a ground, 14-xx a neutral too."""


@pytest.mark.parametrize("face", FACES)
def test_every_configuration_of_the_job_file_has_its_contacts(face: str) -> None:
    assert sorted(FACES[face]) == sorted(LETTERS[face.split("-")[0]])


def test_every_configuration_has_a_face() -> None:
    assert set(keys()["circuit.configuration"].choices) == set(FACES)


@pytest.mark.parametrize("name", ["garage", "6-50 in a metal box"])
def test_letters_of_the_terminals_are_those_of_the_face(name: str) -> None:
    picture = _ends(name)[0]
    letters = [one.letter for one in picture.landings]
    assert sorted(letters) == sorted(FACES[picture.face])
    by_role = {one.role: one.letter for one in picture.landings}
    assert by_role["Ground"] == "G"
    assert by_role["Hot, L1"] == "X"
    assert by_role["Hot, L2"] == "Y"
    assert by_role.get("Neutral", "W") == "W"


SHORT, LONG = "Hot", "W" * LONGEST


@pytest.mark.parametrize(
    ("face", "jumper", "text"),
    list(product(["", *FACES], ["", SHORT, LONG], [SHORT, "a panel " * 37, LONG])),
)
def test_nothing_meets_whatever_the_words_and_the_face(face: str, jumper: str, text: str) -> None:
    letters = FACES.get(face, {"": None})
    landings = tuple(
        Landing(
            "White lead of the new breaker",
            "red, or black with a red stripe",
            "1000 kcmil aluminum",
            "Neutral bar, white pigtail of the new breaker",
            f"E-{number}",
            text,
            letter,
            bonded=number == 1,
        )
        for number, letter in enumerate(letters, 1)
    )
    picture = TerminalPicture("Here", text, landings, jumper, face)
    for room in ROOMS.values():
        assert faults(terminals(picture, WORDS, room)) == []


@pytest.mark.parametrize("name", TEXTS)
def test_ends_of_every_job_fit_a_page_of_large_print(name: str) -> None:
    for picture in _ends(name):
        placed = terminals(picture, WORDS, ROOMS["large"])
        assert faults(placed) == []
        assert placed.height <= ROOMS["large"].tallest


@pytest.mark.parametrize("what", ["label", "letter", "line", "type"])
def test_a_planted_fault_is_caught(what: str) -> None:
    placed = terminals(_ends("garage")[0], WORDS)
    text = next(t for t in placed.texts if t.text == "row E-2")
    if what == "label":
        placed.texts.append(replace(text, y=text.y + 2))
    elif what == "letter":
        letter = next(t for t in placed.texts if t.text == "W")
        placed.texts.append(replace(letter, x=letter.x + 2.6))
    elif what == "line":
        placed.line(BOX_LEFT, text.y - 1, text.x + 4, text.y - 1)
    else:
        placed.texts.append(replace(text, y=text.y + 200, size=3.0))
    assert faults(placed) != []


@pytest.mark.parametrize("name", ["garage", "6-50 in a nonmetallic box", "cellar"])
def test_the_text_tells_each_conductor_in_the_order_of_the_drawing(name: str) -> None:
    sheet = _sheet(name)
    html = render.html(views.SheetSet(FRAME, views.Outcome.READY, (sheet,)), "letter")
    titles = re.findall(r"<title>(.*?)</title>", html, re.DOTALL)[1:3]
    for picture, title in zip(sheet.pictures, titles, strict=True):
        text = re.sub(r"\s+", " ", title)
        rows = re.findall(r"row (E-\d+)\.", text)
        assert rows == [one.row for one in picture.landings]
        for one in picture.landings:
            sentence = next(s for s in text.split(". ") if s.rstrip(".").endswith(one.row))
            assert one.role in sentence
            assert one.color in sentence
            assert one.terminal in sentence


def test_sheet_e_prints_without_a_fault() -> None:
    sheets = views.SheetSet(FRAME, views.Outcome.READY, (_sheet("garage"),))
    assert checks.every_fault(checks.printed(sheets, "letter"), sheets) == []
