"""Selecting, numbering and rendering the library for one job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count, takewhile
from typing import Any

from packet import facts
from packet.codebook import Book
from packet.findings import render_text
from packet.ledger import Citation, Ledger
from packet.procedure.library import Library
from packet.procedure.model import (
    Block,
    Branch,
    Document,
    Exit,
    Gate,
    Panel,
    Part,
    Phase,
    Procedure,
    Question,
    Recorded,
    RecordGroup,
    Rows,
    Seen,
    Stage,
    Step,
    Tool,
    Well,
)
from packet.showing import show, show_citation

COUNTED = {"route": "fact.route.{n}.is_cable", "box": "fact.box.{n}.is_metal"}
"""What steps may be repeated for, and the fact by which each one is counted."""

GRAVITY = ("danger", "warning", "caution", "notice")
"""Signal words, the worst first."""


def write(ledger: Ledger, rows: Rows, book: Book, library: Library) -> Procedure:
    """Return what `library` has to say for the facts of `ledger`."""
    return _Writer(ledger, rows, book, library).procedure()


@dataclass(frozen=True)
class _Chosen:
    """A phase that applies; `n` is 0 where the phase is not repeated."""

    name: str
    n: int
    parts: list[_Selected]


@dataclass(frozen=True)
class _Selected:
    """The items of one part that apply; `n` is 0 where nothing is repeated."""

    heading: str
    n: int
    items: list[dict[str, Any]]


@dataclass
class _Writer:
    """Selects, numbers and renders; numbers are all known before the first text is made."""

    ledger: Ledger
    rows: Rows
    book: Book
    library: Library
    steps: dict[str, str] = field(default_factory=dict)
    gates: dict[str, str] = field(default_factory=dict)
    phases: dict[str, str] = field(default_factory=dict)
    used: dict[str, list[str]] = field(default_factory=dict)

    def procedure(self) -> Procedure:
        selected = [
            _Chosen(line["phase"], n, parts)
            for line in self.library.order
            for n in (self.each(line["for_each"]) if "for_each" in line else (0,))
            if self.holds(line) and (parts := self.select(line["phase"], n))
        ]
        self.number(selected)
        phases = tuple(self.phase(phase, place) for place, phase in enumerate(selected, 1))
        permit = self.library.permit
        return Procedure(
            phases,
            tuple(
                Exit(name, number, self.text(text))
                for name, (number, text) in self.numbered_exits().items()
            ),
            self.text(self.library.exits["who"]),
            self.tools("protective"),
            self.tools("tools"),
            tuple(
                Document(line["id"], self.text(line["name"]), line.get("sheet", ""))
                for line in permit["documents"]
                if self.holds(line)
            ),
            tuple(
                Question(line["id"], self.text(line["ask"]))
                for line in permit["questions"]
                if self.holds(line)
            ),
            tuple(self.stage(line) for line in permit["stages"] if self.holds(line)),
            tuple(self.record(group) for group in self.library.as_built["groups"]),
            dict(self.steps),
        )

    # -------------------------------------------------------------- selecting, numbering

    def holds(self, item: Mapping[str, Any], n: int = 0) -> bool:
        """Say whether every condition of `item` is true; `or` gives alternatives."""
        return facts.holds(item, self.ledger, n)

    def each(self, what: str) -> Iterator[int]:
        """Count the route parts or boxes that the ledger has."""
        return takewhile(lambda n: COUNTED[what].format(n=n) in self.ledger, count(1))

    def select(self, phase: str, of: int) -> list[_Selected]:
        """Return the parts of a phase with the items that apply; empty parts are left out.

        `of` is what the phase itself is repeated for, or 0.
        """
        parts: list[_Selected] = []
        for item in self.library.phases[phase]["steps"]:
            if "for_each" in item:
                for n in self.each(item["for_each"]):
                    inner = [step for step in item["steps"] if self.holds(step, n)]
                    parts.append(_Selected(item["heading"], n, inner))
            elif self.holds(item, of):
                if not parts or parts[-1].heading:
                    parts.append(_Selected("", of, []))
                parts[-1].items.append(item)
        return [part for part in parts if part.items]

    def number(self, selected: list[_Chosen]) -> None:
        """Give every selected phase, step and gate its number: step 2 of phase 3 is 3.2."""
        for place, phase in enumerate(selected, 1):
            self.phases.setdefault(phase.name, str(place))
            numbers = count(1)
            for part in phase.parts:
                for item in part.items:
                    if "gate" in item:
                        self.gates[item["gate"]] = str(len(self.gates) + 1)
                    else:
                        self.steps[_step_id(item, part.n)] = f"{place}.{next(numbers)}"

    # ----------------------------------------------------------------------- rendering

    def text(self, text: str, n: int = 0) -> str:
        """Return `text` with its values; the context is the whole language of the files."""
        return render_text(
            facts.at(text, n),
            {
                "n": n,
                "v": lambda name: show(self.ledger[name]),
                "fact": lambda name: facts.fact(f"fact.{name}", self.ledger),
                "torque": lambda terminal: self.rows.torque[terminal],
                "reading": lambda name: self.rows.readings[name].row,
                "band": lambda name: self.rows.readings[name].band,
                "step": lambda name: self.steps[name],
                "gate": lambda name: self.gates[name],
                "phase": lambda name: self.phases[name],
                "stop": lambda name: self.numbered_exits()[name][0],
            },
        )

    def phase(self, phase: _Chosen, place: int) -> Phase:
        words, n = self.library.phases[phase.name], phase.n
        standing = [line for line in words.get("standing", ()) if self.holds(line)]
        panels = self.worst_first(line["panel"] for line in standing)
        there = {panel.id for panel in panels}
        worn = [
            tool for line in standing if line["panel"] in there for tool in line.get("tools", ())
        ]
        return Phase(
            f"{phase.name}.{n}" if n else phase.name,
            str(place),
            self.text(words["name"], n),
            self.text(words["place"], n),
            self.text(words["power"], n),
            tuple(self.text(need, n) for need in words["need"]),
            panels,
            tuple(
                Part(
                    self.text(part.heading, part.n),
                    tuple(self.item(item, part.n, worn) for item in part.items),
                )
                for part in phase.parts
            ),
            self.text(words["complete"], n),
            self.text(words["exit"], n),
        )

    def item(self, item: Mapping[str, Any], n: int, worn: list[str]) -> Block | Gate:
        return self.gate(item["gate"]) if "gate" in item else self.block(item, n, worn)

    def gate(self, name: str) -> Gate:
        words = self.library.gates[name]
        return Gate(
            name,
            self.gates[name],
            self.text(words["title"]),
            tuple(self.text(line) for line in words["go_on"]),
            tuple(self.text(line) for line in words["stop_if"]),
            tuple(Well(well["kind"], self.text(well["caption"])) for well in words["wells"]),
        )

    def block(self, item: Mapping[str, Any], n: int, worn: list[str]) -> Block:
        """Return a step; `worn` are the things its whole phase is done with."""
        number = self.steps[_step_id(item, n)]
        for tool in dict.fromkeys((*item.get("tools", ()), *worn)):
            self.used.setdefault(tool, []).append(number)
        branch = item.get("if_outside")
        return Block(
            self.worst_first(item.get("hazards", ())),
            self.step(item, n, number),
            (self.branch(branch, n),) if branch else (),
        )

    def worst_first(self, names: Iterable[str]) -> tuple[Panel, ...]:
        """Return the panels that hold for this job."""
        panels = filter(None, map(self.panel, names))
        return tuple(sorted(panels, key=lambda panel: GRAVITY.index(panel.word)))

    def panel(self, name: str) -> Panel | None:
        words = self.library.panels[name]
        if not self.holds(words):
            return None
        return Panel(
            name,
            self.library.kinds[words["kind"]].lower(),
            self.text(words["what"]),
            self.text(words["does"]),
            self.text(words["stay_out"]),
        )

    def step(self, item: Mapping[str, Any], n: int, number: str) -> Step:
        lead, verb, rest = split_verb(self.text(item["do"], n))
        reading = self.rows.readings[item["expect"]] if "expect" in item else None
        terminal = self.rows.torque[item["torque"]] if "torque" in item else ""
        wells = [Well("reading", reading.row, reading.unit)] if reading else []
        wells += [Well("initials", terminal)] if terminal else []
        if "record" in item:
            record = item["record"]
            wells.append(Well(record["kind"], self.text(record["caption"], n)))
        return Step(
            _step_id(item, n),
            number,
            lead,
            verb,
            rest,
            self.text(item.get("why", ""), n),
            reading.band if reading else "",
            self.text(item.get("see", ""), n),
            terminal,
            reading.row if reading else "",
            tuple(wells),
            item.get("no_return") == "true",
        )

    def branch(self, words: Mapping[str, str], n: int) -> Branch:
        phrases = self.library.phrases
        if "stop" in words:
            going, target = phrases["stop"], self.numbered_exits()[self.text(words["stop"])][0]
        else:
            going, target = phrases["go_to"], self.steps[facts.at(words["go_to"], n)]
        if "then" in words:
            first = self.text(words["then"], n)
            going = render_text(phrases["both"], {"first": first, "second": going})
        return Branch(self.text(words["if"], n), going, target)

    def numbered_exits(self) -> dict[str, tuple[str, str]]:
        """Return each stop rule's number and text, in the order of the file."""
        rules = (item for item in self.library.exits.items() if item[0] != "who")
        return {name: (str(number), text) for number, (name, text) in enumerate(rules, 1)}

    # ---------------------------------------------------------------- tools, inspections

    def tools(self, group: str) -> tuple[Tool, ...]:
        """Return the tools that the printed steps use, in order of first use."""
        every = self.library.tools["protective"] | self.library.tools["tools"]
        unknown = self.used.keys() - every.keys()
        if unknown:
            raise KeyError(f"no tool is called {', '.join(sorted(unknown))}")
        return tuple(
            Tool(
                name,
                self.text(every[name]["name"]),
                self.step_list(numbers),
                self.text(every[name]["check"]),
                every[name].get("blank", ""),
            )
            for name, numbers in self.used.items()
            if name in self.library.tools[group]
        )

    def step_list(self, numbers: list[str]) -> str:
        """Return step numbers with neighbors drawn together: 1.4 to 2.1, 2.6."""
        order = list(self.steps.values())
        runs: list[list[str]] = []
        for number in numbers:
            if runs and runs[-1][-1] == order[order.index(number) - 1]:
                runs[-1].append(number)
            else:
                runs.append([number])
        span = self.library.phrases["range"]
        return self.library.phrases["list"].join(
            render_text(span, {"first": run[0], "last": run[-1]}) if len(run) > 1 else run[0]
            for run in runs
        )

    def stage(self, words: Mapping[str, Any]) -> Stage:
        seen = (
            Seen(
                _line_id(line, n),
                self.text(line["seen"], n),
                self.section(line, n),
                line.get("sheet", ""),
                line.get("office") == "true",
            )
            for line, n in self.repeated(words["items"])
        )
        return Stage(words["id"], self.text(words["name"]), tuple(seen))

    def record(self, words: Mapping[str, Any]) -> RecordGroup:
        rows = (
            Recorded(
                _line_id(line, n),
                self.text(line["item"], n),
                self.planned(line, n),
                self.text(line["see"], n),
            )
            for line, n in self.repeated(words["rows"])
        )
        return RecordGroup(words["id"], self.text(words["name"]), tuple(rows))

    def planned(self, line: Mapping[str, Any], n: int) -> str:
        """Return what was planned: a text, or those values of the ledger that this job has."""
        if "planned" in line:
            return self.text(line["planned"], n)
        entries = (self.ledger.get(facts.at(name, n)) for name in line["values"])
        return self.library.phrases["list"].join(show(entry) for entry in entries if entry)

    def repeated(self, lines: list[dict[str, Any]]) -> Iterator[tuple[dict[str, Any], int]]:
        """Yield the lines that apply, once for each thing they are repeated for."""
        for line in lines:
            for n in self.each(line["for_each"]) if "for_each" in line else (0,):
                if self.holds(line, n):
                    yield line, n

    def section(self, line: Mapping[str, Any], n: int) -> str:
        if "of" in line:
            return _place(self.ledger[facts.at(line["of"], n)].cite[0], self.book)
        return _place(self.book.cite(line["rule"]), self.book) if "rule" in line else ""


def split_verb(sentence: str) -> tuple[str, str, str]:
    """Return what stands before, in and after the ``**`` marks of a step's sentence.

    Raises
    ------
    ValueError
        When there is not exactly one marked verb.
    """
    parts = sentence.split("**")
    if len(parts) != 3 or not parts[1]:
        raise ValueError(f"`{sentence}` does not have exactly one marked verb")
    lead, verb, rest = (part.strip() for part in parts)
    return lead, verb if lead else verb[0].upper() + verb[1:], rest


def _step_id(item: Mapping[str, Any], n: int) -> str:
    return f"{item['id']}.{n}" if n else str(item["id"])


def _line_id(line: Mapping[str, Any], n: int) -> str:
    return f"{line['id']}_{n}" if n else str(line["id"])


def _place(citation: Citation, book: Book) -> str:
    """Return the bare section where the head of the sheet names document and edition."""
    if citation.edition == book.edition:
        return citation.section
    return show_citation(citation)
