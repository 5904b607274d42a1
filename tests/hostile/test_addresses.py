"""The renderer reads nothing but styles and fonts of the package, however it is asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from weasyprint.urls import FatalURLFetchingError

from packet import render
from packet.render import PackageFiles, RenderFault
from packet.sheets.views import Outcome, SheetSet
from tests.pages.fixtures import CARRY, FRAME

SMALL = SheetSet(FRAME, Outcome.READY, (CARRY,))


@pytest.mark.parametrize(
    "url",
    [
        "//127.0.0.1:1/x.css",
        "FILE:///etc/passwd",
        "file://localhost/etc/passwd",
        "ftp://127.0.0.1:1/x",
        "data:text/css,p{}",
        "packet:styles/%2e%2e/packet/render.py",
        "packet:styles//etc/passwd",
        "packet:styles/..%2fpyproject.toml",
        "packet:fonts/../styles/base.css",
        "packet:fonts/sans?x",
        "packet:styles/base.css#x",
        "PACKET:styles/base.css",
        "packet:styles/base.css\0",
        "packet://styles/base.css",
        "../../etc/passwd",
        "styles/base.css",
    ],
)
def test_no_way_round_the_two_folders(url: str) -> None:
    with pytest.raises(FatalURLFetchingError):
        PackageFiles().fetch(url)


SVG = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink'>"


@pytest.mark.parametrize(
    "asking",
    [
        "<style>p { background: url(file:///etc/passwd) }</style>",
        "<style>@import url(http://127.0.0.1:1/x.css);</style>",
        "<style>@font-face { font-family: x; src: url(//127.0.0.1:1/x) } p { font: 9pt x }</style>",
        "<link rel=stylesheet href='../../../etc/passwd'>",
        "<link rel=attachment href='file:///etc/passwd'>",
        "<p style='list-style: url(data:image/png;base64,AA==); display: list-item'>x</p>",
        "<object data='file:///etc/passwd'></object>",
        f"{SVG}<image xlink:href='file:///etc/passwd' width='9' height='9'/></svg>",
    ],
)
def test_whatever_a_page_asks_for_from_elsewhere_stops_the_print(
    asking: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoil(asking, monkeypatch)
    with pytest.raises(RenderFault, match=r"passwd|127\.0\.0\.1|data:|SVG image"):
        render.pdf(SMALL, "letter")


@pytest.mark.parametrize("href", ["http://127.0.0.1:1/x.svg#a", "file:///etc/passwd", "//h/x#a"])
def test_a_picture_takes_no_part_of_another(href: str, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    fetch = PackageFiles.fetch

    def watched(self: PackageFiles, url: str, headers: dict[str, str] | None = None) -> Any:
        asked.append(url)
        return fetch(self, url, headers)

    monkeypatch.setattr(PackageFiles, "fetch", watched)
    spoil(f"{SVG}<use xlink:href='{href}'/></svg>", monkeypatch)
    render.pdf(SMALL, "letter")
    assert asked
    assert all(url.startswith("packet:") for url in asked)


def spoil(page: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the first sheet hold what no template holds."""
    html = render.html(SMALL, "letter").replace("<h1>", f"{page}<h1>", 1)
    assert page in html
    monkeypatch.setattr(render, "html", lambda *_: html)


def test_no_file_is_opened_but_those_of_the_package(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the renderer itself opens besides: its own style of HTML, and the Python packages."""
    render.pdf(SMALL, "letter")
    opened: list[Path] = []
    real = Path.read_bytes

    def watched(self: Path) -> bytes:
        opened.append(self)
        return real(self)

    monkeypatch.setattr(Path, "read_bytes", watched)
    render.pdf(SMALL, "letter")
    assert opened
    assert {path.parent.name.strip("_") for path in opened} == {"styles"}
