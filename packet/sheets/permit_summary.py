"""Sheet P: what a plan review needs on one page, each value with its section and its row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from packet import resources, words
from packet.facts import at
from packet.findings import finding
from packet.ledger import Citation, Entry, Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.sheets import views
from packet.sheets.calculations import asked, numbers
from packet.sheets.filled import Filled
from packet.sheets.route import methods, placed_ways
from packet.showing import show, show_citation

ANSWERS = (
    ("address", "site.address"),
    ("county", "site.county"),
    ("building", "site.building"),
    ("office", "authority.office"),
    ("parcel", "site.parcel"),
    ("number", "authority.permit_number"),
    ("owner", "people.owner"),
    ("owner_phone", "people.owner_phone"),
    ("inspections", "authority.inspections"),
)
"""What an application asks of every job: caption and ledger name."""


@dataclass(frozen=True)
class _Review:
    """What the rows are made from."""

    plan: Plan
    filled: Filled
    load: views.LoadWorksheet
    rows: Mapping[str, str]
    texts: Mapping[str, str]

    @property
    def ledger(self) -> Ledger:
        return self.plan.ledger

    def rule(self, name: str) -> str:
        """Return the rule of a row; ``serves_alone`` is what keeps the circuit to itself."""
        return self.plan.kind.serves_alone if name == "serves_alone" else name

    def named(self, name: str) -> str:
        """Return the ledger name of a row; ``current`` is what the equipment draws."""
        return self.plan.current.name if name == "current" else name


def permit_summary(plan: Plan, load: views.LoadWorksheet, letters: str) -> views.PermitSummary:
    """Return sheet P.

    Parameters
    ----------
    plan : Plan
    load : LoadWorksheet
        Sheet K of the same set, for the number of its line.
    letters : str
        The sheets of the set.
    """
    texts = resources.texts("permit_summary")
    least = least_ampacity(plan)
    filled = Filled(plan.ledger, _extra(plan, load, least))
    review = _Review(plan, filled, load, numbers(plan.ledger), texts["references"])
    return views.PermitSummary(
        filled.text(texts["description"]),
        tuple(_answers(plan)),
        tuple(_rows(review, texts["rows"], least)),
        tuple(
            dict.fromkeys(
                finding(check, plan.ledger).says
                for check in asked(plan.ledger, letters)
                if check.verdict is Verdict.ASK
            )
        ),
    )


def least_ampacity(plan: Plan) -> Entry:
    """Return the ampacity of the part of the route that allows the least."""
    usable = [plan.ledger[f"route.{part.number}.usable_ampacity"] for part in plan.parts]
    return min(usable, key=lambda entry: entry.value)


def _extra(plan: Plan, load: views.LoadWorksheet, least: Entry) -> dict[str, Any]:
    markings = (plan.ledger.get(f"route.{part.number}.insulation") for part in plan.parts)
    return {
        "ways": placed_ways(plan),
        "methods": methods(plan),
        "insulation": ", ".join(dict.fromkeys(show(mark) for mark in markings if mark)),
        "load_method": load.methods[0].name,
        "current": plan.current.name,
        "load_current": plan.load.worksheet.deciding.name,
        "least_ampacity": least.name,
    }


def _answers(plan: Plan) -> Iterator[views.Answer]:
    ledger = plan.ledger

    def told(name: str) -> str:
        entry = ledger.get(name)
        return show(entry) if entry else ""

    def caption(name: str) -> str:
        return words.word(f"permit.{name}").label

    for name, entry in ANSWERS:
        yield views.Answer(caption(name), told(entry))
    if ledger["fact.owner_does_work"].value:
        yield views.Answer(caption("applicant"), told("people.owner"))
        yield views.Answer(caption("contractor"), caption("owner_does_work"))
        return
    names = (told("people.installer_company"), told("people.installer"))
    yield views.Answer(caption("contractor"), ", ".join(name for name in names if name))
    yield views.Answer(caption("licence"), told("people.installer_licence"))
    yield views.Answer(caption("contractor_phone"), told("people.installer_phone"))


def _rows(review: _Review, lines: list[dict[str, Any]], least: Entry) -> Iterator[views.PermitRow]:
    for line in lines:
        if "finding" in line:
            yield from _answered(review, line)
        elif "each" in line:
            yield from _repeated(review, line)
        else:
            section, see = _of(review, line, least)
            yield views.PermitRow(line["item"], review.filled.text(line["value"]), section, see)


def _answered(review: _Review, line: dict[str, Any]) -> Iterator[views.PermitRow]:
    """Yield the answer of a check; nothing where it was never asked."""
    check = review.ledger.checks.get(line["finding"])
    if check is not None:
        says = finding(check, review.ledger).says
        yield views.PermitRow(line["item"], says, _sections(check.cite))


def _repeated(review: _Review, line: dict[str, Any]) -> Iterator[views.PermitRow]:
    """Yield one row for all parts of the route that have its values; none where no part has."""
    parts = [
        part.number
        for part in review.plan.parts
        if all(at(name, part.number) in review.ledger for name in line["has"])
    ]
    if parts:
        texts = dict.fromkeys(review.filled.text(at(line["each"], part)) for part in parts)
        cited = [one for part in parts for one in review.ledger[at(line["of"], part)].cite]
        see = review.filled.text(review.texts["sheet"], sheet=line["sheet"])
        yield views.PermitRow(line["item"], "; ".join(texts), _sections(cited), see)


def _of(review: _Review, line: dict[str, Any], least: Entry) -> tuple[str, str]:
    """Return the sections of a row, and the place in this set that shows it."""
    texts, filled = review.texts, review.filled
    if "load" in line:
        governing = review.load.methods[0]
        number = [one.number for one in governing.lines if one.kind == "total"][-1]
        return governing.section, filled.text(texts["line"], line=number)
    if "least_ampacity" in line:
        return _sections(least.cite), filled.text(texts["row"], row=review.rows[least.name])
    cited: Iterable[Citation] = ()
    if "of" in line:
        entry = review.ledger.get(review.named(line["of"]))
        cited = entry.cite if entry else ()
    elif "rule" in line:
        cited = (review.plan.book.cite(review.rule(line["rule"])),)
    if "row" in line:
        return _sections(cited), filled.text(
            texts["row"], row=review.rows[review.named(line["row"])]
        )
    see = filled.text(texts["sheet"], sheet=line["sheet"]) if "sheet" in line else ""
    return _sections(cited), see


def _sections(cited: Iterable[Citation]) -> str:
    """Return the bare sections of the code in force, each once; other documents in full."""
    return "; ".join(
        dict.fromkeys(one.section if one.document == "NEC" else show_citation(one) for one in cited)
    )
