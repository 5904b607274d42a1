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

NARROWEST, WIDEST = 40, 96
"""Width of the lines, whatever the terminal."""

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

    @property
    def _width(self) -> int:
        return max(NARROWEST, min(WIDEST, shutil.get_terminal_size().columns - 1))

    def _tell(self, text: str, indent: str = "") -> None:
        further = " " * len(indent)
        self.say(
            textwrap.fill(
                plain(text), self._width, initial_indent=indent, subsequent_indent=further
            )
        )

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
        same = before is not None and before.group == asked.group and asked.is_gate
        if not same and (before is None or title != _title(before)):
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
        self._tell(_takes(asked), "  ")
        if asked.question.key.choices and not asked.is_gate:
            for line in _in_columns(asked.question.key, self._width - 4):
                self.say(f"    {line}")

    def _more(self, asked: Asked) -> None:
        key = asked.question.key
        self._tell(phrases()["why"].format(why=asked.question.why), "  ")
        self._tell(phrases()["in_the_file"].format(path=asked.path, says=key.help), "  ")
        if key.example:
            self._tell(phrases()["for_example"].format(example=key.example), "  ")

    def _show(self, problem: Problem, asked: Asked, tried: Answers) -> None:
        self._tell(_as_sentence(problem.error), "  ! ")
        if problem.help:
            self._tell(_as_sentence(problem.help), "    ")
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


def _as_sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('?') else '.'}"


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


def _takes(asked: Asked) -> str:
    """Return what an answer may be, in one line."""
    key = asked.question.key
    silence = "means_no" if asked.is_gate else "may_be_left_out"
    end = "" if asked.needed else f"; {phrases()[silence]}"
    units = units_of(key).replace("`", "") if key.units else ""
    form = phrases()[_form(asked)].format(units=units, example=key.example.strip("[]"))
    return f"({form}{end})"


def _form(asked: Asked) -> str:
    """Return which phrase says how an answer is written."""
    key = asked.question.key
    if asked.is_gate or key.type == "yes/no":
        return "yes_or_no"
    if key.choices:
        several = "several" if key.type == "choices" else "one"
        return f"{several}_by_number" if are_numbered(key) else f"{several}_of"
    return _FORMS.get(key.type, "such_as")


_FORMS = {
    "quantity": "quantity",
    "quantities": "quantities",
    "count": "number",
    "number": "number",
    "spaces": "spaces",
    "date": "date",
}


def _in_columns(key: Key, width: int) -> list[str]:
    """Return the choices of a key, with their numbers, in as few lines as fit."""
    choices = list(key.choices)
    if are_numbered(key):
        choices = [f"{number:>2} {choice}" for number, choice in enumerate(choices, 1)]
    wide = max(map(len, choices)) + 3
    abreast = max(1, width // wide)
    lines = [choices[at : at + abreast] for at in range(0, len(choices), abreast)]
    return ["".join(f"{one:<{wide}}" for one in line).rstrip() for line in lines]


def _chosen(key: Key, text: str) -> str:
    """Return the choice with that number, or the text."""
    if key.choices and are_numbered(key) and re.fullmatch(r"[0-9]{1,2}", text):
        number = int(text)
        if 0 < number <= len(key.choices):
            return key.choices[number - 1]
    return text
