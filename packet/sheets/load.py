"""Sheet K: the load of the dwelling by each method that applies."""

from __future__ import annotations

from collections.abc import Iterator

from packet import words
from packet.ledger import Entry, Kind, Verdict
from packet.plans.branch_circuit import Plan, Worksheet
from packet.sheets import views
from packet.showing import show, show_section, show_source, show_substituted

GIVEN = frozenset({Kind.GIVEN, Kind.LABEL})

WITH_LINES = (".connected", ".charger_nameplate")
"""Ends of the names of what has a line of its own, to which the others refer."""

METHODS = ("standard", "optional", "existing", "measured")


def load_worksheet(plan: Plan) -> views.LoadWorksheet:
    """Return sheet K, the governing method first."""
    calculation = plan.load
    sheets = sorted(
        calculation.worksheets, key=lambda sheet: sheet.method != calculation.method.value
    )
    number = 0
    methods = []
    for sheet in sheets:
        lines = _lines(sheet, number)
        number += len(lines)
        right = sheet.check.right
        methods.append(
            views.LoadMethod(
                name=words.word(f"load.method_name.{sheet.method}").label,
                section=show_section(plan.book.cite(f"{sheet.method}_method")),
                governs=sheet.method == calculation.method.value,
                lines=tuple(lines),
                limit=show(right) if right else "",
                used=show(sheet.deciding),
                left=show(plan.ledger[f"load.{sheet.method}.left"]),
                fits=sheet.carries if sheet.method in calculation.qualifying else None,
                readings=tuple(_readings_taken(sheet)),
            )
        )
    if plan.feeder is not None:
        methods.append(_feeder(plan, plan.feeder, number))
    present = {sheet.method for sheet in sheets}
    return views.LoadWorksheet(
        floor_area=show(plan.ledger["dwelling.floor_area"]),
        service=show(plan.ledger["service.rating"]),
        why_governs=words.word(
            "load.why_given" if "circuit.load_method" in plan.ledger else "load.why_governs"
        ).label,
        methods=tuple(methods),
        not_used=tuple(
            views.MethodNotUsed(
                words.word(f"load.method_name.{method}").label,
                show_section(plan.book.cite(f"{method}_method")),
                words.word(f"load.not_used.{method}").label,
            )
            for method in METHODS
            if method not in present
        ),
        room=_room(plan),
        readings=tuple(
            views.ReadingTaken(
                words.word(f"disputed.{one.point}").label,
                show(one.taken),
                show_section(one.taken.cite[0]),
                show(one.other),
            )
            for one in plan.disputed
        ),
        agreed_with=show(plan.ledger["disputed.agreed_with"])
        if "disputed.agreed_with" in plan.ledger
        else "",
    )


def _feeder(plan: Plan, sheet: Worksheet, number: int) -> views.LoadMethod:
    """Return the feeder's own calculation, after those of the service."""
    return views.LoadMethod(
        words.word("load.feeder_name").label,
        show_section(plan.book.cite("standard_method")),
        governs=False,
        lines=tuple(_lines(sheet, number)),
        limit=show(plan.ledger["panel.feeder_rating"]),
        used=show(sheet.deciding),
        left=show(plan.ledger["feeder.left"]),
        fits=sheet.check.verdict is Verdict.MEETS,
        readings=tuple(_readings_taken(sheet)),
    )


def _lines(sheet: Worksheet, number: int) -> list[views.LoadLine]:
    """Return the lines of a worksheet and its amperes, numbered on from `number`."""
    lines = [
        _line(str(at), line.entry, line.name, subtotal=line.subtotal)
        for at, line in enumerate(sheet.lines, number + 1)
    ]
    last = [sheet.amperes, *([sheet.with_share] if sheet.with_share else [])]
    lines += [
        _line(str(at), entry, None, total=True)
        for at, entry in enumerate(last, number + len(lines) + 1)
    ]
    return lines


def _readings_taken(sheet: Worksheet) -> Iterator[views.ReadingTaken]:
    for point in sheet.disputed:
        right = sheet.check.right
        yield views.ReadingTaken(
            words.word(f"disputed.{point.name}").label,
            show(point.taken),
            show_section(point.taken.cite[0]),
            show(point.other_amperes),
            right is not None and bool(point.other_amperes.value <= right.value),
        )


def _line(
    number: str, entry: Entry, name: Entry | None, *, subtotal: bool = False, total: bool = False
) -> views.LoadLine:
    item = words.word(entry.name).label
    if name is not None:
        item = f"{show(name)}: {item}"
    return views.LoadLine(
        number,
        item,
        show_substituted(entry, _mark) if entry.formula else "",
        show(entry),
        show_section(entry.cite[0]) if entry.kind is Kind.COMPUTED else show_source(entry),
        "total" if total else "subtotal" if subtotal else "plain",
    )


def _mark(entry: Entry) -> str:
    """Mark what was given or read off a part, or is reckoned from nothing else."""
    own_line = entry.name.endswith(WITH_LINES)
    sources = [entry] if entry.kind in GIVEN or own_line else [one for _, one in entry.inputs]
    kinds = {one.kind for one in sources}
    if not kinds or not kinds.issubset(GIVEN):
        return ""
    return words.word("mark.label" if Kind.LABEL in kinds else "mark.given").label


def _room(plan: Plan) -> tuple[views.Fact, ...]:
    names = (
        "load.headroom",
        "load.largest_continuous_current",
        "load.setting_that_fits",
        "load.management_limit",
        "load.method_that_carries",
        "load.measured_peak_that_carries",
        "load.service_needed",
    )
    return tuple(
        views.Fact(words.word(name).label, show(plan.ledger[name]), show_source(plan.ledger[name]))
        for name in names
        if name in plan.ledger
        and (name != "load.service_needed" or plan.ledger.verdict is Verdict.FALLS_SHORT)
    )
