"""The feeder of a subpanel as the job gives it, judged like the circuit behind it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packet.codebook import Book
from packet.jobfile.model import Feeder as GivenFeeder
from packet.jobfile.model import Job
from packet.ledger import Check, Entry, Ledger, Verdict, compare
from packet.plans.givens import counted, given, must, terminal_at, truth
from packet.rules.ampacity import CABLES, ConductorConditions
from packet.rules.grounding import table_equipment_grounding
from packet.rules.supply_conductor import (
    Feeder,
    FeederLoad,
    feeder_conductor_checks,
    feeder_neutral_is_large_enough,
)
from packet.rules.wiring_method import method_suits_place

HOT_CONDUCTORS = 2
ENDS = ("feeder breaker", "panel feeder lugs")


def feeder_checks(
    book: Book, ledger: Ledger, job: Job, given_feeder: GivenFeeder
) -> Iterator[Check]:
    """Judge hot conductors, neutral and equipment grounding conductor of a feeder."""
    feeder = _feeder(book, job, given_feeder)
    if feeder is None:
        cite = book.table("conductor_ampacity").cite
        yield Check("feeder_conductor_known", Verdict.ASK, (cite,))
        return
    if given_feeder.ambient is None:
        cite = book.table("ambient_correction").cite
        yield Check("feeder_ambient_known", Verdict.ASK, (cite,))
    place = given("feeder.place", given_feeder.place)
    if place is not None:
        yield method_suits_place(book, "feeder", feeder.conditions.method, place)
    yield from feeder_conductor_checks(book, feeder, _load(ledger))
    neutral = given("feeder.neutral", given_feeder.neutral)
    yield feeder_neutral_is_large_enough(book, feeder, neutral)
    by_table = table_equipment_grounding(book, feeder.rating, feeder.material)
    need = replace(by_table, name="feeder.table_equipment_grounding")
    ground = given("feeder.equipment_grounding", given_feeder.equipment_grounding)
    name = "feeder_grounding_meets_table"
    if ground is None:
        yield Check(name, Verdict.ASK, need.cite)
    else:
        yield compare(name, ground, ">=", need, need.cite)


def _load(ledger: Ledger) -> FeederLoad | None:
    amperes = ledger.get("feeder.load.standard.current")
    if amperes is None:
        return None
    with_share = ledger.get("feeder.load.standard.current_with_continuous_share")
    return FeederLoad(amperes, with_share or amperes)


def _feeder(book: Book, job: Job, feeder: GivenFeeder) -> Feeder | None:
    """Return the feeder; None where size, metal, method or insulation are not known."""
    size, material = given("feeder.size", feeder.size), given("feeder.material", feeder.material)
    method = given("feeder.method", feeder.method)
    insulation = given("feeder.insulation", feeder.insulation)
    if size is None or material is None or method is None:
        return None
    if method.value not in CABLES and insulation is None:
        return None
    conditions = ConductorConditions(
        0,
        method,
        given("feeder.ambient", feeder.ambient) or book.figure("table_ambient", "feeder.ambient"),
        counted("feeder.current_carrying", HOT_CONDUCTORS, method),
        insulation,
        at="feeder",
    )
    rating = must("panel.feeder_rating", feeder.rating)
    marks = [_mark(job, number, end) for number, end in enumerate(ENDS, 1)]
    whole = truth(feeder.carries_whole_dwelling) is True
    return Feeder(conditions, size, material, rating, marks, whole)


def _mark(job: Job, number: int, end: str) -> Entry | None:
    terminal = terminal_at(job, end)
    return given(f"feeder.mark.{number}", terminal and terminal.temperature)
