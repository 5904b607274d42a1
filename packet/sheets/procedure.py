"""Sheets C, D, G and M: the written procedure as view models."""

from __future__ import annotations

from itertools import count

from packet import procedure as written
from packet import words
from packet.ledger import Ledger
from packet.sheets import views
from packet.sheets.days import days
from packet.showing import show

_SIZES = {"name": "name", "span": "name", "date": "date", "moment": "date"}
"""Kind of well -> size of its blank; what is not here takes 6 signs."""


def carry(procedure: written.Procedure) -> views.Carry:
    """Return sheet C."""
    return views.Carry(
        tuple(_tool(tool) for tool in procedure.protective),
        tuple(_tool(tool) for tool in procedure.tools),
    )


def do(procedure: written.Procedure, ledger: Ledger, who_may: str) -> views.Procedure:
    """Return sheet D."""
    return views.Procedure(
        purpose=show(ledger["work.title"]),
        who_may=who_may,
        ends_if=tuple(
            words.word("stop_rule.numbered").label.format(number=one.number, text=one.text)
            for one in procedure.exits
        ),
        phases=tuple(_phase(phase) for phase in procedure.phases),
        who_to_call=procedure.who_to_call,
    )


def permit(procedure: written.Procedure, ledger: Ledger) -> views.Permit:
    """Return sheet G."""

    def text(name: str) -> str:
        entry = ledger.get(name)
        return show(entry) if entry else ""

    return views.Permit(
        office=text("authority.office"),
        phone=text("authority.phone"),
        fee=text("authority.permit_fee"),
        documents=tuple(
            views.PermitDocument(one.id, one.name, one.sheet) for one in procedure.documents
        ),
        questions=tuple(views.PermitQuestion(one.id, one.text) for one in procedure.questions),
        stages=tuple(
            views.Stage(
                stage.id,
                stage.name,
                tuple(
                    views.InspectionItem(
                        seen.id, seen.text, seen.section, seen.sheet, seen.ask_office
                    )
                    for seen in stage.seen
                ),
            )
            for stage in procedure.stages
        ),
        dates=days(ledger),
    )


def as_built(procedure: written.Procedure) -> views.AsBuilt:
    """Return sheet M."""
    numbers = count(1)
    return views.AsBuilt(
        tuple(
            views.AsBuiltGroup(
                group.name,
                tuple(
                    views.AsBuiltRow(
                        f"{group.id}.{row.id}", str(next(numbers)), row.item, row.planned, row.see
                    )
                    for row in group.rows
                ),
            )
            for group in procedure.record
        )
    )


def _tool(tool: written.Tool) -> views.Tool:
    blank = views.Blank(tool.blank, size="date") if tool.blank else None
    return views.Tool(tool.name, tool.steps, tool.check, blank)


def _phase(phase: written.Phase) -> views.Phase:
    return views.Phase(
        phase.number,
        phase.name,
        phase.place,
        phase.power,
        phase.needs,
        tuple(_part(item) for item in phase.items),
        phase.complete,
        phase.exit_line,
        tuple(map(hazard, phase.standing)),
    )


def _part(item: written.Block | written.Gate) -> views.Step | views.Gate:
    if isinstance(item, written.Gate):
        return gate_view(item)
    step = item.step
    return views.Step(
        number=step.number,
        verb=f"{step.lead} {step.verb}".strip(),
        text=step.rest,
        why=step.why,
        expect=step.expect or step.see,
        branches=tuple(views.Branch(b.condition, b.action, b.target) for b in item.branches),
        hazards=tuple(map(hazard, item.hazards)),
        blanks=_blanks(step.wells),
        cannot_be_undone=step.cannot_be_undone,
    )


def hazard(panel: written.Panel) -> views.Hazard:
    """Return a hazard panel as it is printed."""
    return views.Hazard(panel.word, panel.what, panel.harm, panel.avoid)  # type: ignore[arg-type]


def gate_view(gate: written.Gate) -> views.Gate:
    """Return a hold point as it is printed, on sheet D and where another sheet repeats it."""
    return views.Gate(
        gate.id, gate.number, gate.title, gate.go_on, gate.stop_if, _blanks(gate.wells)
    )


def _blanks(wells: tuple[written.Well, ...]) -> tuple[views.Blank, ...]:
    return tuple(
        views.Blank(
            well.caption,
            well.unit,
            _SIZES.get(well.kind, "short"),  # type: ignore[arg-type]
            well.kind,
        )
        for well in wells
    )
