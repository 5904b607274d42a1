"""What labels, the service and the feeder say about the job: each answer given is judged."""

from __future__ import annotations

from collections.abc import Iterator

from packet.codebook import Book
from packet.jobfile.model import Given, Job, Terminal, Unknown
from packet.ledger import Check, Entry, Ledger, Verdict, chosen, compare, computed, total
from packet.plans.feeder import feeder_checks
from packet.plans.givens import given, must, truth
from packet.plans.kinds import Case
from packet.plans.route import PlannedPart
from packet.quantities import magnitude, quantity
from packet.rules.ampacity import CABLES
from packet.rules.cover import riser_protected
from packet.rules.marking import (
    equipment_allows_device,
    neutral_stands_alone,
    safe_from_damage,
    terminal_takes_metal,
    terminal_takes_size,
)
from packet.rules.panel import directory_is_complete, poles_within_label
from packet.rules.raceway import bends_between_pull_points
from packet.rules.supply_conductor import service_conductor_carries_rating
from packet.rules.support import words_of

RECKONED_SYSTEM = "120/240 V single phase"
"""The one voltage system for which circuits are reckoned."""

MAY_BE_DETACHED = frozenset({"garage", "carport"})
"""Places of an outlet that may be part of the house or stand alone."""

NEUTRAL_BARS = frozenset({"panel neutral bar", "panel feeder neutral"})

IN_REACH = frozenset({"garage exposed", "exterior wall"})
"""Places where a car or a tool may come near the wiring."""


def judge_labels(case: Case, rating: Entry, most: Entry | None, poles: int) -> None:
    """Judge everything about house, panel and equipment that does not hang on the conductors.

    Parameters
    ----------
    case : Case
    rating : Entry
        Of the new overcurrent device [A].
    most : Entry or None
        The largest that the equipment's label or instructions allow [A].
    poles : int
        Of the new device.
    """
    book, ledger, job = case.book, case.ledger, case.job
    for check in (
        *([equipment_allows_device(book, rating, most)] if most else ()),
        *_panel(book, job, poles),
        *_house(book, job),
        _system(book, job),
        *_main(book, job),
        _service(book, job),
        *(feeder_checks(book, ledger, job, job.panel.feeder) if job.panel.feeder else ()),
        *(_neighbors(book, job)),
    ):
        ledger.judge(check)


def _yes_no(name: str, cite_name: str, book: Book, answer: bool | None) -> Check:
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[answer]
    return Check(name, verdict, (book.cite(cite_name),))


def _panel(book: Book, job: Job, new_poles: int) -> Iterator[Check]:
    panel = job.panel
    if panel.grounding_bar is not None:
        answer = truth(panel.grounding_bar)
        yield _yes_no("grounding_bar_in_panel", "grounding_bar_in_panel", book, answer)
    most = given("panel.maximum_poles", panel.maximum_poles)
    if most is not None:
        poles = [one.spaces for one in panel.breakers]
        number = sum(len(spaces.value) for spaces in poles) + new_poles
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
    detached = _is_detached(job)
    if detached is None:
        yield _yes_no("building_is_settled", "one_supply_to_building", book, None)
    if detached:
        other = truth(job.circuit.building_has_other_supply)
        alone = None if other is None else not other
        yield _yes_no("one_supply_to_building", "one_supply_to_building", book, alone)
        yield Check("building_disconnect", Verdict.ASK, (book.cite("building_disconnect"),))


def _system(book: Book, job: Job) -> Check:
    """Judge whether the service has the voltages that everything here is reckoned with."""
    system = given("service.system", job.service.system)
    reckoned = system is not None and system.value == RECKONED_SYSTEM
    verdict = Verdict.ASK if system is None else Verdict.FALLS_SHORT
    return Check(
        "service_system_is_reckoned",
        Verdict.MEETS if reckoned else verdict,
        (book.cite("nominal_voltage"),),
        left=system,
        right=book.figure("nominal_voltage"),
    )


def _is_detached(job: Job) -> bool | None:
    """Say whether the outlet is in another building; None where nobody says and it may be."""
    if job.circuit.place.value == "accessory building":
        return True
    said = truth(job.circuit.detached_building)
    return False if said is None and job.circuit.place.value not in MAY_BE_DETACHED else said


def _main(book: Book, job: Job) -> Iterator[Check]:
    """Ask where the main breaker is larger than the service that it is said to protect."""
    main = given("panel.main_rating", job.panel.main_rating)
    if job.panel.kind.value == "service" and main is not None:
        rating = must("service.rating", job.service.rating)
        cite = book.cite("supply_carries_load")
        yield compare("main_within_service", main, "<=", rating, cite, otherwise=Verdict.ASK)


def _service(book: Book, job: Job) -> Check:
    return service_conductor_carries_rating(
        book,
        must("service.rating", job.service.rating),
        given("service_conductor", job.service.conductor),
        given("service_conductor_material", job.service.material),
    )


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
    for check in _risers(book, parts):
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


def _risers(book: Book, parts: tuple[PlannedPart, ...]) -> Iterator[Check]:
    """Judge what a buried cable comes out of the ground in; a raceway brings its own."""
    for planned in parts:
        if not (planned.is_buried and planned.is_cable):
            continue
        index = planned.number - 1
        beside = [*parts[max(index - 1, 0) : index], *parts[index + 1 : index + 2]]
        above = [part for part in beside if part.place.value in IN_REACH]
        pipes = [part.method for part in above if not part.is_cable]
        if planned is not parts[-1] and not above:
            continue
        riser = pipes[0] if pipes and len(pipes) == len(above) else None
        tough = words_of(book.figure("riser_methods"))
        weak = [pipe for pipe in pipes if pipe.value not in tough]
        yield riser_protected(book, f"route.{planned.number}", weak[0] if riser and weak else riser)


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
