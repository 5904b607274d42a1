"""A job in which every text is written to do harm: markup, styles, addresses, scripts, escapes."""

from __future__ import annotations

from itertools import count
from pathlib import Path

import yaml

from packet.jobfile.schema import below, keys

JOBS = Path(__file__).parents[2] / "jobs"

HARM = (
    "</td><script>alert(1)</script>&lt;",
    "\"><img src='file:///etc/passwd'>",
    "'; } @import url(http://h.example/x); p{",
    "<svg><use xlink:href='//h.example/x#a'/>",
    "{{ 7 * 7 }}{% raw %}{# x #}${1}%(a)s",
    "\\) >> /OpenAction << /S /JavaScript (a\\051",
    "javascript:app.alert(1) <!-- ]]> -->",
    "../../x data:text/html,<b>&#x41;\\0041",
    "$(id) `id` =cmd|' /C calc'!A0 \\x1b[2J",
)
"""None of them may mean anything to a page, a picture, a style, a PDF or a terminal."""


def hostile(folder: Path) -> tuple[Path, dict[str, str]]:
    """Write a job with harm in every text; return the file, and each text by its key.

    It is the demo with a feeder, with the people, hours and offer of another one,
    so that no section is left out.
    """
    tree, other = (
        yaml.load((JOBS / f"{demo}.yaml").read_text("utf-8"), yaml.CBaseLoader)  # noqa: S506
        for demo in ("cellar-subpanel", "driveway-pedestal")
    )
    tree |= {section: other[section] for section in ("people", "offer", "labour")}
    typed: dict[str, str] = {}
    before = [part["name"] for part in tree["route"]]
    _spoil(tree, "", typed, count())
    names = dict(zip(before, (part["name"] for part in tree["route"]), strict=True))
    for box in tree.get("boxes", ()):
        if "after" in box:
            box["after"] = names[box["after"]]
    file = folder / "job.yaml"
    file.write_text(yaml.dump(tree, allow_unicode=True, width=10_000), "utf-8")
    return file, typed


def _spoil(node: dict[str, object], table: str, typed: dict[str, str], number: count[int]) -> None:
    """Fill every text of a section, the ones that were left out too."""
    for name, key in below(table).items():
        if key.type == "text" and not key.only_when and key.path not in NAMES:
            turn = next(number)
            node[name] = f"{HARM[turn % len(HARM)]} k{turn}"
            typed[f"{key.path} {turn}"] = str(node[name])
    for name, value in node.items():
        inner = keys()[f"{table}.{name}".lstrip(".")]
        if isinstance(value, dict):
            _spoil(value, inner.path, typed, number)
        elif inner.type == "list" and isinstance(value, list):
            for line in value:
                _spoil(line, f"{inner.path}.*", typed, number)


NAMES = {"prices.items.*.item", "boxes.*.after"}
"""Texts that name something else of the job."""
