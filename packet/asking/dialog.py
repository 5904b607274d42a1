"""The talk at the terminal: one question after the other, each answer checked at once."""

from __future__ import annotations

import re
import shutil
import textwrap
from collections.abc import Callable
from dataclasses import dataclass, field

from packet import resources
from packet.asking.answers import NO, NOT_KNOWN, YES, Answers, spelled
from packet.asking.phrases import phrases
from packet.asking.questions import are_numbered, stations
from packet.asking.walk import Asked, open_questions, walk
from packet.jobfile import JobFaults
from packet.jobfile.schema import Key
from packet.jobfile.values import units_of
from packet.problems import Problem, plain

WIDEST = 96
"""Longest line on a wide terminal."""

SEVERAL = ("choices", "quantities", "spaces")
"""Types of keys that take several values."""

DO_NOT_KNOW = frozenset(
    {NOT_KNOWN, "don't know", "dont know", "do not know", "not known", "i don't know"}
)


@dataclass
class Dialog:
    """A talk about one job.

    Parameters
    ----------
    answers : Answers
        What is answered already; later the answers of the talk.
    ask : function
        Takes a prompt and returns a line; raises EOFError where there are no more.
    say : function
        Prints a line.
    keep : function
        Called with the answers after each of them.
    suggest : function
        Returns what else can be said to a question; empty for most.
    """

    answers: Answers
    ask: Callable[[str], str]
    say: Callable[[str], None]
    keep: Callable[[Answers], None]
    suggest: Callable[[Asked, Answers], str]
    done: list[tuple[str, ...]] = field(default_factory=list)
    """Paths that each turn answered, for going back."""

    def run(self) -> bool:
        """Ask what is not answered yet; return whether all is, or the person stopped."""
        self._tell(phrases()["commands"])
        self._caution()
        before: Asked | None = None
        while asked := next(open_questions(self.answers), None):
            self._head(asked, before)
            before = asked
            try:
                if not self._settle(asked):
                    return False
            except (EOFError, KeyboardInterrupt):
                self.say("")
                return False
        return True

    # ------------------------------------------------------------------------ what is printed

    def _tell(self, text: str, indent: str = "") -> None:
        width = min(WIDEST, shutil.get_terminal_size().columns - 1)
        for line in plain(text).splitlines() or [""]:
            self.say(textwrap.fill(line, width, initial_indent=indent, subsequent_indent=indent))

    def _caution(self) -> None:
        texts = resources.texts("questions")
        caution = texts["caution"]
        self.say("")
        self._tell(f"WARNING  {caution['what']} {caution['harm']} {caution['avoid']}")
        self._tell(phrases()["stop"].format(reasons="; ".join(texts["stop"])))

    def _head(self, asked: Asked, before: Asked | None) -> None:
        """Say where one stands, where that changes."""
        if before is None or before.station != asked.station:
            places = stations()
            number = places.index(asked.station) + 1
            head = phrases()["place"].format(
                title=asked.station.title, number=number, count=len(places)
            )
            self.say("")
            self.say(f"== {head}")
            self._tell(phrases()["bring"].format(bring=asked.station.bring))
        title = _title(asked)
        if before is None or title != _title(before):
            self.say("")
            self.say(f"-- {title}")

    def _put(self, asked: Asked) -> None:
        """Print a question, where to look, and what may be answered."""
        self.say("")
        self._tell(asked.text)
        self._tell(phrases()["look"].format(look=asked.question.look), "  ")
        more = self.suggest(asked, self.answers)
        if more:
            self._tell(more, "  ")
        for line in _takes(asked):
            self._tell(line, "  ")

    def _more(self, asked: Asked) -> None:
        key = asked.question.key
        self._tell(phrases()["why"].format(why=asked.question.why), "  ")
        self._tell(phrases()["in_the_file"].format(path=asked.path, says=key.help), "  ")
        if key.example:
            self._tell(phrases()["other"].format(example=key.example), "  ")

    def _show(self, problem: Problem, asked: Asked, tried: Answers) -> None:
        self._tell(f"{problem.error[:1].upper()}{problem.error[1:]}.", "  ! ")
        if problem.help:
            self._tell(f"{problem.help[:1].upper()}{problem.help[1:]}.", "    ")
        if tried.path_at(problem.span.line) != asked.path:
            self._tell(phrases()["earlier"], "    ")

    # ------------------------------------------------------------------------ what is answered

    def _settle(self, asked: Asked) -> bool:
        """Ask one question until it is answered; return False where the person quits."""
        self._put(asked)
        while True:
            try:
                text = " ".join(self.ask("> ").split())
            except UnicodeDecodeError:
                self._tell(phrases()["not_readable"], "  ! ")
                continue
            match text.lower():
                case "quit":
                    return False
                case "back":
                    self._back()
                    return True
                case "?":
                    self._more(asked)
                case "skip":
                    if self._skip(asked):
                        return True
                case _:
                    value = self._value(asked, text)
                    if value is not None and self._take(asked, value):
                        return True

    def _value(self, asked: Asked, text: str) -> str | None:
        """Return an answer as YAML; None where another must be given, which is said."""
        if not text:
            if asked.needed:
                self._tell(phrases()["must_be_answered"], "  ! ")
                return None
            return NO if asked.is_gate else ""
        if text.lower() in DO_NOT_KNOW:
            self._tell(phrases()[_cost(asked)], "  ")
            return NO if asked.is_gate else NOT_KNOWN
        if asked.is_gate or asked.question.key.type == "yes/no":
            text = {"y": YES, "n": NO}.get(text.lower(), text.lower())
        if asked.is_gate:
            if text in (YES, NO):
                return text
            self._tell(f"{phrases()['yes_or_no']}?", "  ! ")
            return None
        return self._spelled(asked.question.key, text)

    def _spelled(self, key: Key, text: str) -> str:
        if key.type in SEVERAL:
            inner = text.strip("[] ")
            parts = re.split(r"[,\s]+" if key.type == "spaces" else r"\s*,\s*", inner)
            chosen = [_chosen(key, part) for part in parts if part]
            return f"[{', '.join(spelled(one, in_brackets=True) for one in chosen)}]"
        if key.type == "text" and re.fullmatch(r'"[^"]+"', text):
            text = text[1:-1]
        if key.type == "quantity" and len(key.units) == 1 and re.fullmatch(r"[0-9.]+", text):
            unit = units_of(key)
            if unit.count("`") == 2:  # one unit and no other, so that it goes without saying
                text = f"{text} {unit.strip('`')}"
                self._tell(phrases()["understood"].format(value=text), "  ")
        choice = _chosen(key, text)
        if choice != text:
            self._tell(phrases()["understood"].format(value=choice), "  ")
        return spelled(choice)

    def _take(self, asked: Asked, value: str) -> bool:
        """Keep an answer that has no fault; say what is wrong with one that has."""
        tried = self.answers.with_answer(asked.path, value)
        try:
            tried, faults = self._without_useless(tried)
        except JobFaults as unreadable:
            faults = list(unreadable.problems)
        for problem in faults:
            self._show(problem, asked, tried)
        if faults:
            return False
        self._keep(tried, asked.path)
        return True

    def _without_useless(self, answers: Answers) -> tuple[Answers, list[Problem]]:
        """Return the answers without those that have no meaning any more, and other faults."""
        dropped: list[str] = []
        faults = answers.faults()
        while useless := [p for p in faults if p.code == "J017"]:
            paths = [answers.path_at(problem.span.line) for problem in useless]
            dropped += paths
            answers = answers.without(*paths)
            faults = answers.faults()
        if dropped:
            self._tell(phrases()["dropped"].format(paths=", ".join(dropped)), "  ")
        return answers, faults

    def _keep(self, answers: Answers, *paths: str) -> None:
        self.answers = answers
        self.done.append(paths)
        self.keep(answers)

    def _back(self) -> None:
        """Take back what the last turn answered, in an earlier talk too."""
        if not self.done:
            now = next(open_questions(self.answers)).path
            for asked in walk(self.answers):
                if asked.path == now:
                    break
                if self.answers.text_of(asked.path) is not None:
                    self.done = [(asked.path,)]
        if not self.done:
            self._tell(phrases()["first"], "  ")
            return
        self.answers = self.answers.without(*self.done.pop())
        self.keep(self.answers)

    def _skip(self, now: Asked) -> bool:
        """Leave out what need not be answered up to the next group, line or needed question."""
        skipped: list[str] = []
        answers = self.answers
        while (asked := next(open_questions(answers), None)) and not asked.needed:
            elsewhere = asked.group != now.group or (now.line and asked.line != now.line)
            if skipped and elsewhere:
                break
            answers = answers.with_answer(asked.path, NO if asked.is_gate else "")
            skipped.append(asked.path)
        if not skipped:
            self._tell(phrases()["must_be_answered"], "  ! ")
            return False
        self._tell(phrases()["skipped"].format(count=len(skipped)), "  ")
        self._keep(answers, *skipped)
        return True


def _title(asked: Asked) -> str:
    """Return the group, with the number of the line that is asked about."""
    number = asked.line.rpartition(".")[2]
    about_line = number and not asked.is_gate
    return f"{asked.group.title}: {number}" if about_line else asked.group.title


def _cost(asked: Asked) -> str:
    """Return which phrase says what it costs not to know an answer."""
    if asked.is_gate:
        return "unknown_gate_opens" if asked.question.opens else "unknown_gate"
    if asked.question.key.unknown:
        return "unknown_written"
    if asked.needed:
        return "unknown_needed"
    return "unknown_opens" if asked.question.opens else "unknown_chosen"


def _takes(asked: Asked) -> list[str]:
    """Return what an answer may be."""
    key = asked.question.key
    end = (
        "" if asked.needed else f"; {phrases()['means_no' if asked.is_gate else 'may_be_left_out']}"
    )
    if asked.is_gate or key.type == "yes/no":
        return [f"({phrases()['yes_or_no']}{end})"]
    if key.choices:
        head = phrases()["several_of" if key.type == "choices" else "one_of"]
        return [f"({head.rstrip(':')}{end})", *_listed(key)]
    form = key.type if key.type in phrases() else "number" if key.type == "count" else "other"
    if form == "text" or key.type == "text":
        form = "other"
    units = units_of(key).replace("`", "") if key.units else ""
    example = key.example.strip("[]")
    return [f"({phrases()[form].format(units=units, example=example)}{end})"]


def _listed(key: Key) -> list[str]:
    """Return the choices of a key, with numbers where those cannot be mistaken for a choice."""
    choices = [f"{number} {choice}" for number, choice in enumerate(key.choices, 1)]
    if not are_numbered(key):
        choices = list(key.choices)
    return ["    ".join(choices)]


def _chosen(key: Key, text: str) -> str:
    """Return the choice with that number, or the text."""
    if key.choices and are_numbered(key) and re.fullmatch(r"[0-9]{1,2}", text):
        number = int(text)
        if 0 < number <= len(key.choices):
            return key.choices[number - 1]
    return text
