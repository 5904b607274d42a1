"""Sheet W: what could be built instead, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from packet import resources, words
from packet.findings import finding, findings
from packet.ledger import Entry, Verdict
from packet.plans.options import ChoiceAtBest, Comparison, CordAtBest, Reason, Shown, Worked
from packet.sheets import views
from packet.sheets.filled import Filled
from packet.sheets.route import methods, ways
from packet.sheets.sets import frame
from packet.sheets.summary import OUTCOMES
from packet.showing import show, show_formula, show_source, show_substituted, stamp

COUNTS = (
    "options.tried",
    "options.fall_short",
    "options.allowed",
    "options.open",
    "options.without_cost",
    "options.alike",
    "options.beaten",
    "options.kept",
)

WORKED_OUT = (
    "option.part_length",
    "option.cord_needed",
    "option.energy",
    "option.current",
    "option.charging_power",
    "option.charging_hours",
    "option.cost",
    "option.spare",
    "voltage_drop_share",
)
"""Values that are shown with their formula, for one option."""

PIECES = {
    "place": "place",
    "charger": "charger",
    "method": "wiring",
    "material": "metal",
    "load": "house",
    "by": "person",
}
"""Question of the design -> the words of its choices in the text file."""

MOST_QUESTIONS = 3


def options_set(made: Comparison) -> views.SheetSet:
    """Return the set of the comparison sheet; its check code covers every option shown."""
    plan = made.own.worked.plan
    shown = [made.own, *made.kept, *(one.best for one in made.by_choice if one.best)]
    code = stamp(*(one.worked.ledger for one in shown), made.ledger)
    sheet = comparison(made)
    outcome = OUTCOMES[plan.ledger.verdict]
    return views.SheetSet(frame(plan, code), outcome, (sheet,), views.Reader.CHOOSER)


def comparison(made: Comparison) -> views.Options:
    """Return sheet W."""
    texts = resources.texts("options")
    example = made.kept[0] if made.kept else made.own
    return views.Options(
        counts=tuple(_fact(made.ledger[name]) for name in COUNTS),
        own=_row(made.own, texts),
        kept=tuple(_row(one, texts) for one in made.kept),
        choices=tuple(_choice(one, texts) for one in made.by_choice),
        cords=tuple(map(_cord, made.by_cord)),
        reasons=tuple(map(_reason, made.reasons)),
        keys=tuple(
            views.KeysToChange(str(one.kept), tuple(_keys(one.worked))) for one in made.kept
        ),
        worked=tuple(_worked_out(example.worked)),
        worked_for=str(example.kept or ""),
        assumptions=tuple(item for item in _assumptions(example.worked, texts["assumptions"])),
    )


def _fact(entry: Entry) -> views.Fact:
    return views.Fact(words.word(entry.name).label, show(entry))


def _row(one: Shown, texts: Mapping[str, Mapping[str, str]]) -> views.OptionRow:
    worked = one.worked

    def told(entry: Entry | None) -> str:
        return show(entry) if entry else ""

    return views.OptionRow(
        number=str(one.kept or ""),
        what=tuple(_what(worked, texts["what"])),
        cost=told(worked.cost),
        hours=told(worked.hours),
        charging=told(worked.charging_hours),
        drop=told(worked.drop),
        spare=told(worked.spare),
        outcome=OUTCOMES[worked.ledger.verdict],
        beaten_by=str(one.beaten_by or ""),
        alike=str(one.alike or ""),
        remarks=tuple(_remarks(worked)),
    )


def _filled(worked: Worked) -> Filled:
    plan = worked.plan
    method = words.word(f"load.method_name.{plan.load.method.value}").label
    extra = {
        "ways": ways(plan),
        "ways_made": ", ".join(methods(plan)),
        "method": method,
        "managed": worked.option.is_managed,
    }
    return Filled(worked.ledger, extra)


def _what(worked: Worked, texts: Mapping[str, str]) -> Iterator[str]:
    filled = _filled(worked)
    has_place = "option.place" in worked.ledger
    for name, text in texts.items():
        if name != "outlet" or has_place:
            yield filled.text(text)


def _remarks(worked: Worked) -> Iterator[str]:
    """Yield what the option falls short of, else its open questions, the first few."""
    short = findings(worked.ledger, Verdict.FALLS_SHORT)
    asked = short or findings(worked.ledger, Verdict.ASK)
    told = dict.fromkeys(one.says for one in asked)
    yield from list(told)[:MOST_QUESTIONS]
    if len(told) > MOST_QUESTIONS:
        yield words.word("options.and_more").label.format(n=len(told) - MOST_QUESTIONS)


def _choice(one: ChoiceAtBest, texts: Mapping[str, Mapping[str, str]]) -> views.ChoiceRow:
    question = words.word(f"options.question.{one.choice.kind}").label
    name = ""
    if one.example is not None:
        name = _filled(one.example).text(texts["choices"][PIECES[one.choice.kind]])
    row = _row(one.best, texts) if one.best else None
    reason = _reason(one.reason) if one.reason else None
    return views.ChoiceRow(question, name, row, reason)


def _cord(one: CordAtBest) -> views.CordRow:
    best = one.best
    if best is None:
        return views.CordRow(show(one.cord))
    ledger, cost = best.worked.ledger, best.worked.cost
    return views.CordRow(
        show(one.cord),
        show(ledger["option.place"]),
        show(ledger["option.cord_needed"]),
        show(ledger["option.part_length"]),
        show(cost) if cost else "",
        str(best.kept or ""),
        str(best.beaten_by or ""),
    )


def _reason(one: Reason) -> views.ReasonRow:
    said = finding(one.check, one.ledger)
    return views.ReasonRow(said.asks, said.says, show(one.count), said.source)


def _keys(worked: Worked) -> Iterator[str]:
    """Yield what to write into the job file, key by key."""
    for path, text in worked.option.changes.items():
        key, _, last = path.rpartition(".")
        if text is not None:
            yield f"{path}: {text}"
        elif last.isdecimal():
            yield words.word("options.delete_line").label.format(number=last, key=key)
        else:
            yield words.word("options.delete").label.format(key=path)
    if not worked.option.changes:
        yield words.word("options.nothing_to_change").label


def _worked_out(worked: Worked) -> Iterator[views.WorkedValue]:
    for name in WORKED_OUT:
        entry = worked.ledger.get(name)
        if entry is not None and entry.formula:
            yield views.WorkedValue(
                words.word(name).label,
                show_formula(entry),
                show_substituted(entry),
                show(entry),
                show_source(entry),
            )


def _assumptions(worked: Worked, items: object) -> Iterator[str]:
    filled = _filled(worked)
    for item in filled.chosen(items):  # type: ignore[arg-type]
        yield filled.text(item["text"])
