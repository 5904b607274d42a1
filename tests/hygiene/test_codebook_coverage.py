"""The coverage list and the code book say the same: nothing promised, nothing hidden."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

import pytest

from packet import codebook
from packet.codebook import EDITIONS, read

STATES = ("encoded", "not_encoded", "out_of_scope")


def faults(covered: Mapping[str, list[Any]], names: Collection[str]) -> Iterator[str]:
    """What is wrong between a coverage list and the names that the code book has."""
    claimed: set[str] = set()
    told: set[str] = set()
    for kind, lines in covered.items():
        for line in lines:
            at = f"{kind}: {line.get('what', '')}"
            if not line.get("what"):
                yield f"{at}`what` is missing"
            elif at in told:
                yield f"{at}: stands twice"
            told.add(at)
            state = [key for key in STATES if key in line]
            extra = set(line) - {"what", "sections", *STATES}
            yield from (f"{at}: unknown key `{key}`" for key in sorted(extra))
            if len(state) != 1:
                yield f"{at}: one of {', '.join(STATES)} is needed"
            elif state == ["encoded"]:
                if not line["encoded"]:
                    yield f"{at}: encoded, but no name"
                if "sections" in line:
                    yield f"{at}: `sections` of what is encoded stand in the code book"
                for name in line["encoded"]:
                    if name not in names:
                        yield f"{at}: `{name}` is not in the code book"
                    if name in claimed:
                        yield f"{at}: `{name}` is covered twice"
                    claimed.add(name)
            else:
                if not str(line[state[0]] or "").strip():
                    yield f"{at}: no reason"
                sections = line.get("sections", ())
                if len(sections) != len(EDITIONS) or not all(sections):
                    yield f"{at}: `sections` has not one text for each edition"
    yield from (f"`{name}` is not covered" for name in sorted(set(names) - claimed))


def test_the_coverage_list_is_true() -> None:
    """A rule that is believed to be checked, and is not, is found only when it hurts."""
    names = {*codebook.figures(), *codebook.table_names()}
    assert not (found := list(faults(codebook.coverage(), names))), "\n".join(found)


GOOD = """
box fill:
- {what: counts, encoded: [allowance, volumes]}
- {what: luminaires, sections: [a, b, c, "?"], not_encoded: not in this work}
panels:
- {what: height, sections: [a, b, c, none], out_of_scope: other work}
"""


def test_the_good_list_has_no_fault() -> None:
    assert list(faults(read(GOOD), {"allowance", "volumes"})) == []


@pytest.mark.parametrize(
    ("text", "planted", "fault"),
    [
        ("volumes]", "volume]", "box fill: counts: `volume` is not in the code book"),
        ("volumes]", "volume]", "`volumes` is not covered"),
        ("volumes]", "allowance]", "`allowance` is covered twice"),
        ("[allowance, volumes]", "[]", "encoded, but no name"),
        ("not_encoded: not in this work", 'not_encoded: ""', "luminaires: no reason"),
        (', "?"]', "]", "luminaires: `sections` has not one text for each edition"),
        ("sections: [a, b, c, none], ", "", "height: `sections` has not one text"),
        ("out_of_scope: other work", "later: other work", "height: one of encoded"),
        ("out_of_scope: other work", "later: other work", "height: unknown key `later`"),
        ("[allowance, volumes]", "[allowance, volumes], not_encoded: x", "counts: one of encoded"),
        ("{what: luminaires", "{what: counts", "box fill: counts: stands twice"),
        ("{what: height", '{what: ""', "`what` is missing"),
    ],
)
def test_a_planted_fault_in_the_list_is_caught(text: str, planted: str, fault: str) -> None:
    assert text in GOOD
    found = list(faults(read(GOOD.replace(text, planted, 1)), {"allowance", "volumes"}))
    assert any(fault in one for one in found), found
