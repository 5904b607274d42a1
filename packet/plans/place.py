"""Where the circuit starts and ends: the equipment, the outlet, the panel and its spaces."""

from __future__ import annotations

from dataclasses import dataclass

from packet import words
from packet.codebook import Book
from packet.jobfile.model import Given, Job
from packet.ledger import Check, Entry, Kind, Ledger, Verdict, chosen
from packet.plans.givens import enter, given, must, truth
from packet.plans.kinds import WORDS, Case, Demand, KindOfWork
from packet.plans.panel import DirectoryCircuit, PanelPicture
from packet.quantities import magnitude
from packet.rules import panel as panels
from packet.rules import receptacle as receptacles
from packet.rules.ground_fault import (
    GFCI,
    Outlet,
    ground_fault_protection,
    open_ground_fault_answers,
)


@dataclass(frozen=True)
class Placed:
    """What the two ends of the circuit are."""

    is_receptacle: bool
    has_neutral: bool
    is_gfci: Entry
    is_service: bool
    picture: PanelPicture


def placed(case: Case, kind: KindOfWork, demand: Demand, rating: Entry) -> Placed:
    """Judge both ends of the circuit and give back what the rest of the plan needs of them."""
    ledger, job, circuit = case.ledger, case.job, case.job.circuit
    for name, leaf in (
        ("circuit.place", circuit.place),
        ("circuit.location", circuit.location),
        ("circuit.connection", circuit.connection),
        ("circuit.configuration", circuit.configuration),
        ("circuit.equipment", kind.name(case)),
    ):
        enter(ledger, name, leaf)
    _enter_words(case, kind)
    neutral = kind.needs_neutral(case)
    if circuit.configuration is not None:
        neutral = _outlet(case, kind, demand, circuit.configuration, rating)
    for check in kind.checks(case, demand, rating):
        ledger.judge(check)
    _owner(case)
    for check in kind.disconnect_checks(case, demand, rating):
        ledger.judge(check)
    gfci = _ground_fault(case, kind, rating)
    picture = _panel(case.book, ledger, job, rating, kind.hots(case))
    return Placed(case.is_receptacle, neutral, gfci, job.panel.kind.value == "service", picture)


def _enter_words(case: Case, kind: KindOfWork) -> None:
    """Enter what steps and sheets call the equipment."""
    stem, span = f"equipment.{kind.word(case)}", case.job.circuit.serves.span
    for form in WORDS:
        label = words.word(f"{stem}.{form}").label
        case.ledger.add(Entry(f"equipment.{form}", label, Kind.GIVEN, span=span))


def _outlet(case: Case, kind: KindOfWork, demand: Demand, name: Given[str], rating: Entry) -> bool:
    """Judge the receptacle; say whether it has a neutral."""
    book, ledger, circuit = case.book, case.ledger, case.job.circuit
    outlet = receptacles.configuration(book, name.value)
    for entry in (outlet.rating, outlet.wires, outlet.neutral):
        ledger.add(entry)
    ledger.judge(receptacles.receptacle_suits_voltage(book, outlet, kind.voltage(case)))
    ledger.judge(receptacles.receptacle_is_for_new_work(book, outlet))
    for own in kind.receptacle_checks(case, demand, rating):
        ledger.judge(own)
    height = given("circuit.height", circuit.height)
    tamper = receptacles.receptacle_is_tamper_resistant(book, outlet.rating, height)
    if tamper is not None:
        ledger.judge(tamper)
    weather = circuit.weather.value if circuit.weather else None
    cover, check = receptacles.receptacle_cover(
        book, circuit.place.value, weather, outlet.rating, unattended=kind.unattended
    )
    if cover is not None:
        ledger.add(cover.cover)
        ledger.add(cover.weather_resistant)
    if check is not None:
        ledger.judge(check)
    return bool(outlet.neutral.value)


def _owner(case: Case) -> None:
    """Judge whether the owner may do the work, where he means to."""
    if case.by_electrician:
        return
    allowed = truth(case.job.authority.owner_may_do_work)
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[allowed]
    cite = (case.book.cite("owner_work_rule"),)
    case.ledger.judge(Check("owner_may_do_work", verdict, cite))


def ground_fault_outlet(case: Case, kind: KindOfWork, rating: Entry) -> Outlet:
    """Return the outlet as the ground-fault rules see it."""
    book, job, circuit = case.book, case.job, case.job.circuit
    return Outlet(
        circuit.connection.value,
        circuit.place.value,
        kind.activity(case),
        kind.voltage(case),
        book.figure("nominal_voltage_to_ground"),
        rating,
        sink_distance=given("circuit.sink_distance", circuit.sink_distance),
        work_date=job.work.planned_start.value,
        early_rule_adopted=truth(job.authority.early_gfci_rule_adopted),
        outdoor_rule_adopted=truth(job.authority.outdoor_gfci_rule_adopted),
    )


def _ground_fault(case: Case, kind: KindOfWork, rating: Entry) -> Entry:
    book, ledger, circuit = case.book, case.ledger, case.job.circuit
    outlet = ground_fault_outlet(case, kind, rating)
    if outlet.sink_distance is not None:
        ledger.add(outlet.sink_distance)
    answer = ground_fault_protection(
        book, outlet, given("circuit.device_kind", circuit.device_kind)
    )
    ledger.add(answer.required)
    ledger.add(answer.device_kind)
    ledger.judge(answer.check)
    for check in open_ground_fault_answers(book, outlet, answer.device_kind):
        ledger.judge(check)
    return ledger.add(
        chosen(
            "circuit.is_gfci",
            answer.device_kind.value == GFCI,
            answer.device_kind.cite,
            device=answer.device_kind,
        )
    )


def _panel(book: Book, ledger: Ledger, job: Job, rating: Entry, poles: int) -> PanelPicture:
    """Judge the panel and find the spaces of the new breaker; give back the panel's picture."""
    panel = job.panel
    for name, leaf in (
        ("panel.name", panel.name),
        ("panel.kind", panel.kind),
        ("panel.location", panel.location),
        ("panel.main_rating", panel.main_rating),
        ("panel.bus_rating", panel.bus_rating),
        ("panel.fed_from", panel.feeder and panel.feeder.source_panel),
        ("panel.feeder_rating", panel.feeder and panel.feeder.rating),
        ("panel.source_location", panel.feeder and panel.feeder.source_location),
    ):
        enter(ledger, name, leaf)
    spaces = panels.Spaces(
        must("panel.spaces", panel.spaces),
        frozenset(number for one in panel.breakers for number in one.spaces.value),
    )
    taken = _spaces(book, ledger, job, spaces, poles)
    if taken:
        source = ledger.get("circuit.spaces") or ledger["selected_spaces"]
        ledger.add(chosen("breaker_spaces", source.value, book.cite("panel_spaces"), spaces=source))
    bus = given("panel.bus_rating", panel.bus_rating)
    main = given("panel.main_rating", panel.main_rating) or ledger.get("panel.feeder_rating")
    listed = truth(panel.new_breaker_listed_for_panel)
    ledger.judge(panels.breaker_is_listed_for_panel(book, listed=listed))
    ledger.judge(panels.panel_carries_device(book, bus, rating))
    ledger.judge(panels.panel_is_protected(book, bus, main))
    ledger.judge(panels.service_is_not_small(book, must("service.rating", job.service.rating)))
    _room(book, ledger, job)
    return _picture(ledger, job, taken, rating)


def _spaces(
    book: Book, ledger: Ledger, job: Job, spaces: panels.Spaces, poles: int
) -> tuple[int, ...]:
    entry = given("circuit.spaces", job.circuit.spaces)
    if entry is not None and job.circuit.spaces is not None:
        ledger.add(entry)
        for check in panels.given_spaces(book, spaces, job.circuit.spaces.value, entry, poles):
            ledger.judge(check)
        return job.circuit.spaces.value
    found, check = panels.selected_spaces(book, spaces, poles)
    ledger.judge(check)
    if found is None:
        return ()
    ledger.add(found)
    return spaces.room_for(poles)[0]


def _room(book: Book, ledger: Ledger, job: Job) -> None:
    space = job.panel.working_space
    measured = panels.WorkingSpace(
        given("panel.working_width", space and space.width),
        given("panel.working_depth", space and space.depth),
        given("panel.working_height", space and space.height),
        given("panel.door_opens", space and space.door_opens),
        truth(space.clear_of_pipes_and_ducts) if space else None,
    )
    to_ground = book.figure("nominal_voltage_to_ground")
    service = must("service.rating", job.service.rating)
    for check in panels.working_space(book, measured, to_ground, service):
        ledger.judge(check)
    handle = given("panel.highest_handle", job.panel.highest_handle)
    ledger.judge(panels.highest_handle(book, handle))
    ledger.judge(panels.panel_place_is_allowed(book, given("panel.place", job.panel.place)))


def _picture(ledger: Ledger, job: Job, taken: tuple[int, ...], rating: Entry) -> PanelPicture:
    circuits = [
        DirectoryCircuit(
            one.spaces.value,
            ledger.add(must(f"panel.breaker.{number}.rating", one.rating)),
            ledger.add(must(f"panel.breaker.{number}.serves", one.serves)),
            half=one.tandem.value if one.tandem else "",  # type: ignore[arg-type]
        )
        for number, one in enumerate(job.panel.breakers, 1)
    ]
    for number, one in enumerate(job.panel.breakers, 1):
        enter(ledger, f"panel.breaker.{number}.spaces", one.spaces)
        enter(ledger, f"panel.breaker.{number}.half", one.tandem)
    enter(ledger, "panel.spaces", job.panel.spaces)
    if taken:
        title = job.work.title
        serves = ledger.add(must("panel.new_circuit_serves", title))
        circuits.append(DirectoryCircuit(taken, rating, serves, new=True))
    return PanelPicture(
        ledger["panel.name"],
        int(magnitude(job.panel.spaces.value, "dimensionless")),
        tuple(circuits),
        ledger.get("panel.location"),
        ledger.get("panel.fed_from"),
        ledger.get("panel.bus_rating"),
    )
