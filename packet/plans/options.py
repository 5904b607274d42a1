"""Every combination of what could be built, each planned whole; and which of them are worth it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import product

from packet import words
from packet.codebook import Book
from packet.jobfile import JobFaults
from packet.jobfile.change import Changes, changed, holds
from packet.jobfile.check import check
from packet.jobfile.model import Job, Options
from packet.jobfile.read import Document
from packet.ledger import Check, Entry, Ledger, Verdict, chosen, computed, decimal_of
from packet.plans.branch_circuit import Plan, plan
from packet.plans.choices import Choice, choices, managed
from packet.plans.givens import given, must
from packet.quantities import quantity, round_shown
from packet.rules import choosing

Figures = tuple[Decimal | None, ...]
"""Cost, hours of work, charging hours, voltage drop, and spare capacity below zero."""

COST = 0
"""Place of the cost among the figures."""

OF_THE_SERVICE = frozenset({"service_carries_load", "service_carries_continuous_share"})
"""Shortfalls that an energy management system may put right."""

SHORT = Verdict.FALLS_SHORT

NOT_A_JOB = "option_is_a_job"
"""Reason of a combination that a job file may not say."""

_NUMBER = re.compile(r"(?<=\.)\d+(?=\.|$)")


@dataclass(frozen=True)
class Option:
    """One combination: what it changes, how it ends, what it costs and gives.

    Parameters
    ----------
    choices : tuple of Choice
        One for each question.
    changes : Changes
        Keys of the job file to change for it.
    verdict : Verdict
        Of the whole plan, the reach of the cord with it.
    figures : Figures
        As the sheet rounds them, so that what prints alike is alike; each smaller is better.
    short : tuple of str
        Names of the checks that fall short, ``*`` for numbers.
    is_managed : bool
        Whether an energy management system is put in for it.
    """

    choices: tuple[Choice, ...]
    changes: Changes
    verdict: Verdict
    figures: Figures
    short: tuple[str, ...]
    is_managed: bool = False


@dataclass(frozen=True)
class Worked:
    """An option with its whole plan; what is not known of it is None."""

    option: Option
    plan: Plan
    cost: Entry | None
    hours: Entry | None
    charging_hours: Entry | None
    drop: Entry | None
    spare: Entry | None

    @property
    def ledger(self) -> Ledger:
        """Every value of this option."""
        return self.plan.ledger


@dataclass(frozen=True)
class Shown:
    """An option on the sheet.

    Parameters
    ----------
    worked : Worked
    kept : int or None
        Its place among the kept options, from 1; None where it is none of them.
    beaten_by : int or None
        Place among the kept options of one that beats it.
    alike : int
        How many other options have the same figures.
    """

    worked: Worked
    kept: int | None = None
    beaten_by: int | None = None
    alike: int = 0


@dataclass(frozen=True)
class Reason:
    """A way to fall short, one ledger in which it did, and how many options it is true of."""

    check: Check
    ledger: Ledger
    count: Entry


@dataclass(frozen=True)
class ChoiceAtBest:
    """One choice with its cheapest option; where all that have it fall short, the usual reason."""

    choice: Choice
    best: Shown | None
    example: Worked | None
    reason: Reason | None


@dataclass(frozen=True)
class CordAtBest:
    """A cord, and the cheapest option that it reaches from; None where there is none."""

    cord: Entry
    best: Shown | None


@dataclass(frozen=True)
class Comparison:
    """All that the comparison sheet tells.

    Parameters
    ----------
    book : Book
    ledger : Ledger
        What was counted.
    own : Shown
        The job file as it stands.
    kept : tuple of Shown
        Options that no other one beats, the cheapest first.
    by_choice : tuple of ChoiceAtBest
        Questions with more than one choice, in order.
    by_cord : tuple of CordAtBest
    reasons : tuple of Reason
        The most frequent first.
    """

    book: Book
    ledger: Ledger
    own: Shown
    kept: tuple[Shown, ...]
    by_choice: tuple[ChoiceAtBest, ...]
    by_cord: tuple[CordAtBest, ...]
    reasons: tuple[Reason, ...]


def beats(one: Option, other: Option) -> bool:
    """Say whether `one` leaves no reason to build `other`.

    It does where it is no worse in cost, hours of work, charging hours, voltage drop and
    spare capacity, and better in at least one of them, each as printed. Options are held
    against each other only where the same figures of both are known: an unknown cost is
    neither dear nor cheap. One with open questions never beats one that is ready; of two with
    the same figures the one that is ready beats the other. None that falls short beats any.
    """
    ranks = (Verdict.MEETS, Verdict.ASK)
    if one.verdict not in ranks or other.verdict not in ranks:
        return False
    behind = ranks.index(one.verdict) - ranks.index(other.verdict)
    pairs = [(a, b) for a, b in zip(one.figures, other.figures, strict=True) if a != b]
    better = all(a is not None and b is not None and a < b for a, b in pairs)
    return better and (behind < 0 or (behind == 0 and bool(pairs)))


def compare_options(document: Document) -> Comparison | None:
    """Work out every combination of the section `options`; None where the job has none.

    Each combination is written into the job file as read, read again by the same reader and
    planned whole. Nothing is left out beforehand. An energy management system is tried
    wherever the service does not carry the charger without one, at the limit that the plan
    itself gives.

    Parameters
    ----------
    document : Document

    Raises
    ------
    JobFaults
        When the job file as it stands has faults.
    """
    job = check(document)
    if job.options is None:
        return None
    return _Search(document, job, job.options).comparison()


class _Search:
    """One run through all combinations of a job file's options."""

    def __init__(self, document: Document, job: Job, options: Options) -> None:
        self.document = document
        self.job = job
        self.options = options
        self.book = Book(job.authority.code_edition.value)
        self.again: dict[int, Worked] = {}
        questions = choices(self.book, job, options)
        self.questions = questions
        self.options_tried = [
            option for one_of_each in product(*questions) for option in self.tried(one_of_each)
        ]
        self.allowed = [one for one in self.options_tried if one.verdict is not SHORT]
        self.groups = _alike(self.allowed)
        self.kept = [
            group[0]
            for group in self.groups
            if not any(beats(other[0], group[0]) for other in self.groups)
        ]
        self.kept.sort(key=_by_cost)

    def comparison(self) -> Comparison:
        return Comparison(
            self.book,
            self.counted(),
            self.shown(self.options_tried[0]),
            tuple(map(self.shown, self.kept)),
            tuple(self.by_choice()),
            tuple(self.by_cord()),
            tuple(self.reasons(self.options_tried)),
        )

    def tried(self, of: tuple[Choice, ...]) -> Iterator[Option]:
        """Yield the option of these choices, and the same with energy management where it helps."""
        changes = self.needed({path: text for one in of for path, text in one.changes.items()})
        try:
            worked = self.worked(of, changes)
        except JobFaults:
            yield Option(of, changes, SHORT, (None,) * 5, (NOT_A_JOB,))
            return
        yield worked.option
        limit = worked.plan.remedies.management_limit
        managed_already = self.job.service.energy_management is not None
        if managed_already or self.options.management is None or limit is None:
            return
        if OF_THE_SERVICE.intersection(worked.option.short):
            yield self.worked(of, {**changes, **managed(limit.value)}, is_managed=True).option

    def needed(self, changes: Changes) -> dict[str, str | None]:
        """Leave out what deletes a key that is not there."""
        return {
            path: text
            for path, text in changes.items()
            if text is not None or holds(self.document, path)
        }

    def worked(
        self, of: tuple[Choice, ...], changes: Changes, *, is_managed: bool = False
    ) -> Worked:
        """Plan one option whole, and add what it costs and gives to its ledger."""
        job = check(changed(self.document, changes, self.options.span))
        planned = plan(job)
        ledger = planned.ledger
        for choice in of:
            for fact in choice.facts:
                ledger.add(fact)
            if choice.check is not None:
                ledger.judge(choice.check)
        cost = self.cost(planned, is_managed=is_managed)
        hours = ledger.get("own_hours") or ledger.get("work_hours")
        charging = self.charging_hours(planned, is_managed=is_managed)
        drop = ledger.get("voltage_drop_share")
        spare = self.spare(planned)
        counted_at = must("options.consumption_at", self.options.vehicle.consumption_at)
        for entry in (cost, charging, spare, counted_at):
            if entry is not None:
                ledger.add(entry)
        left = _as_printed(spare)
        figures = (
            *(_as_printed(entry) for entry in (cost, hours, charging, drop)),
            None if left is None else -left,
        )
        short = dict.fromkeys(_NUMBER.sub("*", one.name) for one in ledger.having(SHORT))
        option = Option(of, changes, ledger.verdict, figures, tuple(short), is_managed)
        return Worked(option, planned, cost, hours, charging, drop, spare)

    def cost(self, planned: Plan, *, is_managed: bool) -> Entry | None:
        """Return what the option costs; None while a price is missing."""
        bought = planned.shopping
        if bought is None or not bought.bill.complete:
            return None
        others = []
        if planned.offer is not None:
            others.append(planned.offer.labour)
        if is_managed:
            price = self.options.management and self.options.management.price
            others.append(given("options.management_price", price))
        known = [one for one in others if one is not None]
        if len(known) < len(others):
            return None
        return choosing.cost(self.book, bought.total or bought.bill.total, *known)

    def charging_hours(self, planned: Plan, *, is_managed: bool) -> Entry | None:
        """Return the hours to restore a day's driving; None for a circuit that charges nothing."""
        vehicle, charger = self.options.vehicle, planned.ledger.get("charging_current")
        if charger is None:
            return None
        energy = choosing.energy_of_a_day(
            self.book,
            must("options.distance", vehicle.distance),
            must("options.consumption", vehicle.consumption),
            at_wall=vehicle.consumption_at.value == "wall",
            efficiency=given("options.charging_efficiency", vehicle.charging_efficiency),
        )
        limits = [given("options.largest_current", vehicle.largest_current)]
        if is_managed:
            limits.append(planned.ledger.get("service.management_limit"))
        current = choosing.current_into_vehicle(
            self.book, charger, *(one for one in limits if one is not None)
        )
        power = choosing.charging_power(self.book, current)
        return choosing.charging_hours(self.book, energy, power)

    def spare(self, planned: Plan) -> Entry:
        names = (f"load.{planned.load.method.value}.left", "feeder.left")
        left = [planned.ledger[name] for name in names if name in planned.ledger]
        return choosing.spare_capacity(self.book, left)

    def counted(self) -> Ledger:
        ledger = Ledger()
        short = self.count("options.fall_short", len(self.options_tried) - len(self.allowed))
        may = self.count("options.allowed", len(self.allowed))
        cite = self.book.cite("comparison_arithmetic")
        unpriced = [one for one in self.allowed if one.figures[COST] is None]
        for entry in (
            computed("options.tried", "a + s", cite, a=may, s=short),
            self.count("options.open", sum(one.verdict is Verdict.ASK for one in self.allowed)),
            self.count("options.alike", len(self.allowed) - len(self.groups)),
            self.count("options.beaten", len(self.groups) - len(self.kept)),
            self.count("options.kept", len(self.kept)),
            self.count("options.without_cost", len(unpriced)),
        ):
            ledger.add(entry)
        return ledger

    def count(self, name: str, number: int) -> Entry:
        return chosen(name, quantity(number), self.book.cite("comparison_arithmetic"))

    def shown(self, option: Option) -> Shown:
        """Return an option worked out once more, and where it stands among the kept ones."""
        group = next((group for group in self.groups if option in group), [option])
        stands_for = group[0]
        place = next((n for n, one in enumerate(self.kept, 1) if one is stands_for), None)
        beaten_by = next((n for n, one in enumerate(self.kept, 1) if beats(one, option)), None)
        return Shown(self.once_more(option), place, beaten_by, len(group) - 1)

    def once_more(self, option: Option) -> Worked:
        """Return the whole plan of an option; only its figures are kept of the hundreds."""
        known = self.again.get(id(option))
        if known is None:
            known = self.worked(option.choices, option.changes, is_managed=option.is_managed)
            self.again[id(option)] = known
        return known

    def by_choice(self) -> Iterator[ChoiceAtBest]:
        for place, question in enumerate(self.questions):
            for choice in question if len(question) > 1 else ():
                having = [one for one in self.options_tried if one.choices[place] is choice]
                best = min(
                    (one for one in having if one.verdict is not SHORT), key=_by_cost, default=None
                )
                if best is not None:
                    shown = self.shown(best)
                    yield ChoiceAtBest(choice, shown, shown.worked, None)
                    continue
                plannable = next((one for one in having if NOT_A_JOB not in one.short), None)
                example = self.once_more(plannable) if plannable else None
                yield ChoiceAtBest(choice, None, example, next(self.reasons(having)))

    def by_cord(self) -> Iterator[CordAtBest]:
        facts = self.questions[0][0].facts
        for cord in (one for one in facts if one.name.startswith("options.cord.")):
            within = [one for one in self.allowed if _cord_needed(one).value <= cord.value]
            best = min(within, key=_by_cost, default=None)
            yield CordAtBest(cord, self.shown(best) if best else None)

    def reasons(self, among: Sequence[Option]) -> Iterator[Reason]:
        """Yield each way in which options fall short, the most frequent first."""
        counted = Counter(name for one in among for name in one.short)
        for number, (name, count) in enumerate(counted.most_common(), 1):
            total = self.count(f"options.reason.{number}", count)
            if name == NOT_A_JOB:
                cite = self.book.cite("comparison_arithmetic")
                yield Reason(Check(name, SHORT, (cite,)), Ledger(), total)
                continue
            ledger = self.once_more(next(one for one in among if name in one.short)).ledger
            found = next(one for one in ledger.having(SHORT) if _NUMBER.sub("*", one.name) == name)
            yield Reason(found, ledger, total)


def _alike(allowed: Sequence[Option]) -> list[list[Option]]:
    """Return the options by like figures and verdict; the one with the fewest changes leads."""
    groups: dict[tuple[Verdict, Figures], list[Option]] = {}
    for one in allowed:
        groups.setdefault((one.verdict, one.figures), []).append(one)
    return [sorted(group, key=lambda one: len(one.changes)) for group in groups.values()]


def _by_cost(option: Option) -> tuple[tuple[bool, Decimal], ...]:
    """Order by cost, then by the other figures; what is not known comes last."""
    return tuple((figure is None, figure or Decimal(0)) for figure in option.figures)


def _cord_needed(option: Option) -> Entry:
    return next(fact for fact in option.choices[0].facts if fact.name == "option.cord_needed")


def _as_printed(entry: Entry | None) -> Decimal | None:
    """Return the magnitude of an entry as rounded on the sheet."""
    if entry is None:
        return None
    word = words.word(entry.name)
    return round_shown(decimal_of(entry), word.places, word.toward)
