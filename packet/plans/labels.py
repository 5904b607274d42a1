"""What labels, the service and the feeder say about the job: each answer given is judged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packet.codebook import Book
from packet.jobfile.model import Feeder, Given, Job, Terminal, Unknown
from packet.ledger import Check, Entry, Ledger, Verdict, chosen, compare, computed, total
from packet.plans.givens import given, must, terminal_at, truth
from packet.plans.route import PlannedPart
from packet.quantities import magnitude, quantity
from packet.rules.ampacity import CABLES
from packet.rules.conductor import dwelling_supply_conductor
from packet.rules.grounding import table_equipment_grounding
from packet.rules.marking import (
    charger_allows_device,
    neutral_stands_alone,
    safe_from_damage,
    terminal_takes_metal,
    terminal_takes_size,
)
from packet.rules.overcurrent import overcurrent_limit
from packet.rules.panel import directory_is_complete, poles_within_label
from packet.rules.raceway import bends_between_pull_points

NEUTRAL_BARS = frozenset({"panel neutral bar", "panel feeder neutral"})

IN_REACH = frozenset({"garage exposed", "exterior wall"})
"""Places where a car or a tool may come near the wiring."""


def judge_labels(book: Book, ledger: Ledger, job: Job, rating: Entry) -> None:
    """Judge everything about house, panel and charger that does not hang on the conductors."""
    for check in (
        *_charger(book, job, rating),
        *_panel(book, job),
        *_house(book, job),
        *_service(book, job),
        *(_feeder(book, job, job.panel.feeder) if job.panel.feeder else ()),
        *(_neighbors(book, job)),
    ):
        ledger.judge(check)


def _yes_no(name: str, cite_name: str, book: Book, answer: bool | None) -> Check:
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[answer]
    return Check(name, verdict, (book.cite(cite_name),))


def _charger(book: Book, job: Job, rating: Entry) -> Iterator[Check]:
    equipment = job.circuit.equipment
    most = given("charger_maximum_device", equipment and equipment.maximum_overcurrent_device)
    if most is not None:
        yield charger_allows_device(book, rating, most)


def _panel(book: Book, job: Job) -> Iterator[Check]:
    panel = job.panel
    if panel.grounding_bar is not None:
        answer = truth(panel.grounding_bar)
        yield _yes_no("grounding_bar_in_panel", "grounding_bar_in_panel", book, answer)
    most = given("panel.maximum_poles", panel.maximum_poles)
    if most is not None:
        poles = [one.spaces for one in panel.breakers]
        number = sum(len(spaces.value) for spaces in poles) + 2
        cite = book.cite("panel_spaces")
        counted = chosen(
            "panel.poles", quantity(number), cite, spaces=must("panel.spaces", panel.spaces)
        )
        yield poles_within_label(book, counted, most)
    if panel.directory_complete is not None:
        yield directory_is_complete(book, complete=panel.directory_complete.value)
    tandem = [one for one in panel.breakers if one.tandem is not None]
    if tandem:
        allowed = truth(panel.tandem_breakers_marked)
        verdict = Verdict.MEETS if allowed else Verdict.ASK
        yield Check("tandem_breakers_allowed", verdict, (book.cite("panel_spaces"),))


def _house(book: Book, job: Job) -> Iterator[Check]:
    if job.people.work_by.value == "owner" and job.site.owner_lives_here is not None:
        lives = truth(job.site.owner_lives_here)
        verdict = Verdict.MEETS if lives else Verdict.ASK
        yield Check("owner_lives_here", verdict, (book.cite("owner_work_rule"),))
    if job.circuit.detached_building and job.circuit.detached_building.value:
        other = truth(job.circuit.building_has_other_supply)
        alone = None if other is None else not other
        yield _yes_no("one_supply_to_building", "one_supply_to_building", book, alone)
        yield Check("building_disconnect", Verdict.ASK, (book.cite("building_disconnect"),))


def _service(book: Book, job: Job) -> Iterator[Check]:
    size = given("service_conductor", job.service.conductor)
    material = given("service_conductor_material", job.service.material)
    if size is None or material is None:
        return
    rating = must("service.rating", job.service.rating)
    try:
        need = dwelling_supply_conductor(book, rating, material)
    except LookupError:
        return
    yield compare("service_conductor_carries_rating", size, ">=", need, need.cite)


def _feeder(book: Book, job: Job, feeder: Feeder) -> Iterator[Check]:
    """Judge the feeder's own conductors by their terminals, and its grounding conductor."""
    rating = must("panel.feeder_rating", feeder.rating)
    size, material = given("feeder.size", feeder.size), given("feeder.material", feeder.material)
    table = book.table("conductor_ampacity")
    if size is None or material is None:
        yield Check("feeder_conductor_known", Verdict.ASK, (table.cite,))
        return
    one_end = chosen("feeder.carries_several", False, book.cite("next_size_up_limit"))
    row = table.row(size=size.value)

    def limit(temperature: str) -> Entry:
        ampacity = table.entry("feeder.ampacity", f"{material.value}_{temperature}", row)
        return overcurrent_limit(book, "feeder.overcurrent_limit", ampacity, one_end)

    hot, cool = limit("75"), limit("60")
    ends = [terminal_at(job, place) for place in ("feeder breaker", "panel feeder lugs")]
    if all(end and isinstance(end.temperature, Given) for end in ends):
        marks = [must(f"feeder.mark.{n}", end.temperature) for n, end in enumerate(ends, 1) if end]
        cool = (
            hot
            if min(mark.value for mark in marks)
            >= book.figure("highest_termination_temperature").value
            else cool
        )
    small = rating.value <= book.figure("termination_rating_limit").value
    unsure = small and cool.value < rating.value <= hot.value
    verdict = Verdict.ASK if unsure else Verdict.FALLS_SHORT
    right = cool if unsure else hot
    yield compare("feeder_protected", rating, "<=", right, right.cite, otherwise=verdict)
    by_table = table_equipment_grounding(book, rating, material)
    need = replace(by_table, name="feeder.table_equipment_grounding")
    ground = given("feeder.equipment_grounding", feeder.equipment_grounding)
    name = "feeder_grounding_meets_table"
    if ground is None:
        yield Check(name, Verdict.ASK, need.cite)
    else:
        yield compare(name, ground, ">=", need, need.cite)


def _neighbors(book: Book, job: Job) -> Iterator[Check]:
    cite = (book.cite("conductors_of_a_neighbor"),)
    figure = book.figure("conductors_of_a_neighbor")
    for number, part in enumerate(job.route, 1):
        together = part.cables_together
        alone = together is None or magnitude(together.value, "dimensionless") == 1
        if not alone and part.current_carrying_extra is None:
            yield Check(f"route.{number}.neighbors_counted", Verdict.ASK, cite, facts=(figure,))


def judge_route(book: Book, ledger: Ledger, job: Job, parts: tuple[PlannedPart, ...]) -> None:
    """Judge damage part by part, and the bends of each pull from box to box."""
    for planned, part in zip(parts, job.route, strict=True):
        if part.subject_to_damage is not None or planned.place.value in IN_REACH:
            exposed = truth(part.subject_to_damage)
            if exposed is None and planned.is_cable and planned.place.value in IN_REACH:
                continue  # asked already, as exposed cable
            check = safe_from_damage(book, f"route.{planned.number}", planned.method, exposed)
            ledger.judge(check)
    ends = {box.after.value for box in job.boxes or () if box.after is not None}
    pull: list[Entry] = []
    number = 1
    for planned, part in zip(parts, job.route, strict=True):
        bends = given(f"route.{planned.number}.bends", part.bends)
        if planned.method.value not in CABLES and bends is not None:
            pull.append(bends)
        last = planned is parts[-1]
        if pull and (last or part.name.value in ends or part.pull_points is not None):
            whole = total(f"pull.{number}.bends", book.cite("greatest_bend_sum"), "b", pull)
            ledger.judge(bends_between_pull_points(book, f"pull.{number}", whole))
            number, pull = number + 1, []


def terminal_checks(
    book: Book, number: int, read: Terminal | None, size: Entry, material: Entry
) -> Iterator[Check]:
    """Judge one terminal's wire against the sizes and the metal that it is marked for."""
    at = f"terminal.{number}"
    marked: Given[str] | Unknown | None = read.marked_for if read else None
    yield terminal_takes_metal(book, at, material, given(f"{at}.material", marked))
    allowed = given(f"{at}.conductors_allowed", read and read.conductors_allowed)
    if read and read.at.value in NEUTRAL_BARS and allowed is not None:
        yield neutral_stands_alone(book, at, allowed)
    if read and read.wire_range:
        smallest = must(f"{at}.smallest", read.wire_range.smallest)
        largest = must(f"{at}.largest", read.wire_range.largest)
        yield from terminal_takes_size(book, at, size, smallest, largest)


def weakest_interrupting_rating(book: Book, job: Job) -> Entry | None:
    """Return the smaller interrupting rating of panel and new breaker; None if neither is known."""
    panel = given("interrupting_rating", job.panel.interrupting_rating)
    device = given("device_interrupting_rating", job.circuit.device_interrupting_rating)
    if panel is None or device is None:
        return panel
    cite = book.cite("equipment_interrupts_fault")
    return computed("interrupting_rating_together", "smaller(P, D)", cite, P=panel, D=device)
