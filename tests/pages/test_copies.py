"""A copy of a copy of a copy is still read: three generations, then character recognition.

The copier is simulated: out of focus, put in askew, black or white and nothing between; the
figures are our own choice. The reader is Tesseract, line by line and the page as a whole; a
word counts as read where either finds it. Words of one or two letters and single figures are
left out: the reader takes them for marks of the paper as often as not.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image, ImageFilter

from tests.demos.conftest import printed, sheets
from tests.pages.tools import run

DOTS = 200
GENERATIONS, BLUR, TILT, THRESHOLD = 3, 1, 0.4, 150
WORD = re.compile(r"[A-Za-z]{3,}|\d[\d.,]*\d")
LEAST_OF_ALL, LEAST_OF_A_PAGE = 0.98, 0.96


def copied(page: Image.Image, generations: int) -> Image.Image:
    """Return a copy of a copy, laid straight again."""
    for _ in range(generations):
        page = page.filter(ImageFilter.GaussianBlur(BLUR))
        page = page.rotate(TILT, Image.Resampling.BICUBIC, fillcolor=255)
        page = page.point([0 if value <= THRESHOLD else 255 for value in range(256)])
    return page.rotate(-TILT * generations, Image.Resampling.BICUBIC, fillcolor=255)


def words(text: str) -> Counter[str]:
    return Counter(WORD.findall(text))


def lines(file: Path, page: int) -> list[tuple[str, tuple[int, int, int, int]]]:
    """Return each printed line of a page with its place in dots."""
    layout = run(
        "pdftotext", "-bbox-layout", "-f", str(page), "-l", str(page), str(file), "-"
    ).replace(' xmlns="http://www.w3.org/1999/xhtml"', "")
    found = []
    for line in ElementTree.fromstring(layout).iter("line"):  # noqa: S314 - our own PDF
        text = " ".join(word.text or "" for word in line)
        left, top, right, bottom = (
            int(float(line.attrib[side]) * DOTS / 72) for side in ("xMin", "yMin", "xMax", "yMax")
        )
        if WORD.search(text):
            found.append((text, (left - 8, top - 2, right + 8, bottom + 2)))
    return found


def recognized(page: Image.Image, places: list[tuple[int, int, int, int]], at: Path) -> str:
    """Return what is read line by line, then what is read on the page as a whole."""
    at.mkdir()
    for number, place in enumerate(places):
        strip = Image.new("L", (place[2] - place[0] + 40, place[3] - place[1] + 40), 255)
        strip.paste(page.crop(place), (20, 20))
        strip.resize((strip.width * 2, strip.height * 2), Image.Resampling.BICUBIC).save(
            at / f"{number:03}.png"
        )
    names = at / "lines.txt"
    names.write_text("\n".join(str(file) for file in sorted(at.glob("*.png"))))
    page.save(at / "page.png")
    read = partial(run, "tesseract")
    by_line = words(read(str(names), "-", "--psm", "7", "-l", "eng"))
    found = by_line
    for as_block_or_scattered in ("6", "11"):
        found |= words(read(str(at / "page.png"), "-", "--psm", as_block_or_scattered, "-l", "eng"))
    return " ".join(found.elements()).replace("Ibf", "lbf")  # in no dictionary it knows


def lost_words(
    file: Path, number: int, place: Path, generations: int = GENERATIONS
) -> tuple[Counter[str], Counter[str]]:
    """Return the words of a page and those that its copy has lost."""
    at = place / f"page-{number}-{generations}"
    run("pdftoppm", "-gray", "-r", str(DOTS), "-f", str(number), "-l", str(number),
        "-singlefile", str(file), str(at))  # fmt: skip
    printed_lines = lines(file, number)
    with Image.open(f"{at}.pgm") as original:
        copy = copied(original, generations)
    read = words(recognized(copy, [line_place for _, line_place in printed_lines], at))
    asked = words(" ".join(text for text, _ in printed_lines))
    return asked, asked - read


def pages_to_copy(texts: list[str]) -> list[int]:
    """Return the first page of each sheet, and the first page of steps."""
    ends = [number for number, text in enumerate(texts, 1) if "END OF SHEET" in text]
    first_of_sheet = [1, *(number + 1 for number in ends[:-1])]
    steps = next(number for number, text in enumerate(texts, 1) if "Phase 2" in text)
    return [*first_of_sheet, steps]


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setitem(os.environ, "OMP_THREAD_LIMIT", "1")
    file = tmp_path / "packet.pdf"
    file.write_bytes(printed("garage-receptacle").content)
    return file


def test_the_third_copy_of_every_sheet_is_read(demo: Path, tmp_path: Path) -> None:
    pages = pages_to_copy(printed("garage-receptacle").texts)
    assert len(pages) == len(sheets("garage-receptacle").letters) + 1
    with ThreadPoolExecutor(2) as pool:
        found = list(pool.map(lambda number: lost_words(demo, number, tmp_path), pages))
    shares = {
        number: (round(1 - lost.total() / asked.total(), 3), sorted(lost))
        for number, (asked, lost) in zip(pages, found, strict=True)
    }
    assert {number: told for number, told in shares.items() if told[0] < LEAST_OF_A_PAGE} == {}
    all_asked = sum(asked.total() for asked, _ in found)
    all_lost = sum(lost.total() for _, lost in found)
    assert 1 - all_lost / all_asked >= LEAST_OF_ALL, shares


def test_a_worn_out_copy_is_not_read(demo: Path, tmp_path: Path) -> None:
    """The check can fail: after twelve generations the thin strokes are gone."""
    asked, lost = lost_words(demo, 1, tmp_path, generations=12)
    assert 1 - lost.total() / asked.total() < LEAST_OF_A_PAGE
