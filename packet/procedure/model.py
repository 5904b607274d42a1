"""What a procedure is made of: frozen records of finished text, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain


@dataclass(frozen=True)
class Reading:
    """A row of sheet F: its number, the accepted band as two numbers, and the unit."""

    row: str
    band: str
    unit: str


@dataclass(frozen=True)
class Rows:
    """Where other sheets have what the steps refer to, by id.

    Parameters
    ----------
    torque : mapping
        Terminal -> row of sheet E, such as ``E-3``.
    readings : mapping
        Reading -> row of sheet F.
    """

    torque: Mapping[str, str]
    readings: Mapping[str, Reading]


@dataclass(frozen=True)
class Well:
    """A place to write.

    `kind` is reading, initials, time, date, moment (date and time), span (two of them), value
    or name.
    """

    kind: str
    caption: str
    unit: str = ""


@dataclass(frozen=True)
class Panel:
    """A hazard panel; `word` is danger, warning, caution or notice."""

    id: str
    word: str
    what: str
    harm: str
    avoid: str


@dataclass(frozen=True)
class Branch:
    """IF `condition`, THEN `action` `target`; the target is a step or a stop rule."""

    condition: str
    action: str
    target: str


@dataclass(frozen=True)
class Step:
    """One action: `lead` (IF ..., THEN; may be empty), bold `verb`, `rest` of the sentence.

    `expect` is a band of two numbers, `see` what must be seen; each may be empty, as may
    `why`. `torque` and `reading` are the rows on sheets E and F.
    """

    id: str
    number: str
    lead: str
    verb: str
    rest: str
    why: str
    expect: str
    see: str
    torque: str
    reading: str
    wells: tuple[Well, ...]
    cannot_be_undone: bool


@dataclass(frozen=True)
class Block:
    """A step with the panels before it (the worst first) and the branches after it."""

    hazards: tuple[Panel, ...]
    step: Step
    branches: tuple[Branch, ...]


@dataclass(frozen=True)
class Gate:
    """A hold point: what must be true to go on, what means stop, what is written."""

    id: str
    number: str
    title: str
    go_on: tuple[str, ...]
    stop_if: tuple[str, ...]
    wells: tuple[Well, ...]


@dataclass(frozen=True)
class Part:
    """Blocks and gates under one heading; most parts have none."""

    heading: str
    items: tuple[Block | Gate, ...]


@dataclass(frozen=True)
class Phase:
    """A task-sized stretch of the work at one place, in one state of the power.

    `standing` are the panels that hold for every step of the phase, the worst first.
    """

    id: str
    number: str
    name: str
    place: str
    power: str
    needs: tuple[str, ...]
    standing: tuple[Panel, ...]
    parts: tuple[Part, ...]
    complete: str
    exit_line: str

    @property
    def items(self) -> Iterator[Block | Gate]:
        """All blocks and gates in order."""
        return chain.from_iterable(part.items for part in self.parts)


@dataclass(frozen=True)
class Exit:
    """A condition that ends the procedure."""

    id: str
    number: str
    text: str


@dataclass(frozen=True)
class Tool:
    """A thing to carry, with the steps that use it; `blank` is a caption, or empty."""

    id: str
    name: str
    steps: str
    check: str
    blank: str


@dataclass(frozen=True)
class Document:
    """A paper for the permit office; `sheet` is the sheet of the packet that serves."""

    id: str
    name: str
    sheet: str


@dataclass(frozen=True)
class Question:
    """What to ask the permit office."""

    id: str
    text: str


@dataclass(frozen=True)
class Seen:
    """What an inspector sees at one stage; `section` is empty for a local rule."""

    id: str
    text: str
    section: str
    sheet: str
    ask_office: bool


@dataclass(frozen=True)
class Stage:
    """One inspection."""

    id: str
    name: str
    seen: tuple[Seen, ...]


@dataclass(frozen=True)
class Recorded:
    """A row of the as-built record: what was planned (empty: not known), and where it stands."""

    id: str
    item: str
    planned: str
    see: str


@dataclass(frozen=True)
class RecordGroup:
    """Rows of the as-built record under one heading."""

    id: str
    name: str
    rows: tuple[Recorded, ...]


@dataclass(frozen=True)
class Procedure:
    """The whole of the work in words; `numbers` gives each step's number by its id."""

    phases: tuple[Phase, ...]
    exits: tuple[Exit, ...]
    who_to_call: str
    protective: tuple[Tool, ...]
    tools: tuple[Tool, ...]
    documents: tuple[Document, ...]
    questions: tuple[Question, ...]
    stages: tuple[Stage, ...]
    record: tuple[RecordGroup, ...]
    numbers: Mapping[str, str]

    @property
    def blocks(self) -> Iterator[Block]:
        """Every step with its panels and branches, in order."""
        for phase in self.phases:
            yield from (item for item in phase.items if isinstance(item, Block))

    @property
    def gates(self) -> Iterator[Gate]:
        """Every hold point, in order."""
        for phase in self.phases:
            yield from (item for item in phase.items if isinstance(item, Gate))
