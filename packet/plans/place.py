"""Where the circuit starts and ends: the charger, the outlet, the panel and its spaces."""

from __future__ import annotations

from dataclasses import dataclass

from packet.codebook import Book
from packet.jobfile.model import Given, Job
from packet.ledger import Check, Entry, Ledger, Verdict, chosen
from packet.plans.disputed import Sides
from packet.plans.givens import enter, given, must, truth
from packet.plans.panel import DirectoryCircuit, PanelPicture
from packet.quantities import magnitude
from packet.rules import panel as panels
from packet.rules import receptacle as receptacles
from packet.rules import vehicle_charging as charging
from packet.rules.disconnect import charger_disconnect
from packet.rules.ground_fault import CHARGING, GFCI, Outlet, ground_fault_protection

RECEPTACLE = "receptacle"


@dataclass(frozen=True)
class Placed:
    """What the two ends of the circuit are."""

    is_receptacle: bool
    has_neutral: bool
    is_gfci: Entry
    is_service: bool
    setting_is_used: bool
    picture: PanelPicture


def charging_current(book: Book, ledger: Ledger, job: Job, taken: Sides) -> Entry:
    """Return the current that circuit and service are reckoned for, and judge its setting."""
    circuit, equipment = job.circuit, job.circuit.equipment
    if equipment is None:
        limit = given("overcurrent_rating", circuit.overcurrent_device)
        if limit is None and circuit.configuration is not None:
            limit = receptacles.configuration(book, circuit.configuration.value).rating
        if limit is None:
            ledger.judge(
                Check("charger_is_known", Verdict.ASK, (book.cite("ev_load_is_continuous"),))
            )
            limit = book.figure("smallest_power_circuit_rating")
        return ledger.add(charging.charging_current_of_receptacle(book, limit))
    setting = equipment.setting and charging.Setting(
        must("charging.setting", equipment.setting.current),
        _restricted(equipment.setting.access.value),
        truth(equipment.setting.on_label),
    )
    fastened = True if circuit.connection.value != RECEPTACLE else truth(equipment.fastened)
    current, checks = charging.charging_current(
        book,
        must("charging.nameplate", equipment.nameplate_current),
        setting,
        fastened=fastened,
        setting_counts=taken.setting_counts,
        agreed=taken.agreed,
    )
    for check in checks:
        ledger.judge(check)
    return ledger.add(current)


def _restricted(access: str | None) -> bool | None:
    return None if access is None else access == "restricted"


def placed(book: Book, ledger: Ledger, job: Job, current: Entry, rating: Entry) -> Placed:
    """Judge both ends of the circuit and give back what the rest of the plan needs of them."""
    circuit = job.circuit
    is_receptacle = circuit.connection.value == RECEPTACLE
    for name, leaf in (
        ("circuit.place", circuit.place),
        ("circuit.location", circuit.location),
        ("circuit.connection", circuit.connection),
        ("circuit.configuration", circuit.configuration),
        ("circuit.equipment", circuit.equipment and circuit.equipment.name),
    ):
        enter(ledger, name, leaf)
    neutral = _wants_neutral(job)
    if circuit.configuration is not None:
        neutral = _outlet(book, ledger, job, circuit.configuration, rating)
    _charger(book, ledger, job, current)
    gfci = _ground_fault(book, ledger, job, rating)
    picture = _panel(book, ledger, job, rating)
    setting = job.circuit.equipment.setting if job.circuit.equipment else None
    used = setting is not None and current.value == setting.current.value
    return Placed(is_receptacle, neutral, gfci, job.panel.kind.value == "service", used, picture)


def _wants_neutral(job: Job) -> bool:
    equipment = job.circuit.equipment
    return bool(equipment and truth(equipment.neutral))


def _outlet(book: Book, ledger: Ledger, job: Job, name: Given[str], rating: Entry) -> bool:
    """Judge the receptacle; say whether it has a neutral."""
    circuit = job.circuit
    outlet = receptacles.configuration(book, name.value)
    voltage = book.figure("nominal_voltage")
    equipment = circuit.equipment
    fastened = truth(equipment.fastened) if equipment else None
    configuration = must("circuit.configuration", name)
    for entry in (outlet.rating, outlet.wires, outlet.neutral):
        ledger.add(entry)
    ledger.judge(receptacles.receptacle_suits_voltage(book, outlet, voltage))
    ledger.judge(receptacles.receptacle_is_for_new_work(book, outlet))
    ledger.judge(receptacles.receptacle_carries_circuit(book, outlet.rating, rating))
    ledger.judge(receptacles.receptacle_matches_circuit(book, outlet.rating, rating))
    ledger.judge(charging.receptacle_is_for_charging(book, configuration, fastened=fastened))
    height = given("circuit.height", circuit.height)
    tamper = receptacles.receptacle_is_tamper_resistant(book, outlet.rating, height)
    if tamper is not None:
        ledger.judge(tamper)
    grade = given("circuit.receptacle_grade", circuit.receptacle_grade)
    ledger.judge(charging.receptacle_grade(book, outlet.rating, grade))
    weather = circuit.weather.value if circuit.weather else None
    cover, check = receptacles.receptacle_cover(book, circuit.place.value, weather, outlet.rating)
    if cover is not None:
        ledger.add(cover.cover)
        ledger.add(cover.weather_resistant)
    if check is not None:
        ledger.judge(check)
    return bool(outlet.neutral.value)


def _charger(book: Book, ledger: Ledger, job: Job, current: Entry) -> None:
    circuit, equipment = job.circuit, job.circuit.equipment
    connection, place = circuit.connection.value, circuit.place.value
    voltage = book.figure("nominal_voltage")
    ledger.judge(charging.individual_circuit(book, current, voltage, serves_others=False))
    if connection == RECEPTACLE:
        ledger.judge(charging.cord_carries_current(book, current))
    if equipment is not None:
        ledger.judge(charging.charger_is_listed(book, listed=truth(equipment.listed)))
        ventilation = charging.charging_needs_no_ventilation(
            book, place, marked_for_indoors=truth(equipment.indoor_charging_listed)
        )
        if ventilation is not None:
            ledger.judge(ventilation)
    licensed = job.people.work_by.value == "licensed electrician"
    qualified = charging.installer_is_qualified(book, connection, licensed_electrician=licensed)
    if qualified is not None:
        ledger.judge(qualified)
    if not licensed:
        allowed = truth(job.authority.owner_may_do_work)
        verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[allowed]
        ledger.judge(Check("owner_may_do_work", verdict, (book.cite("owner_work_rule"),)))
    height = given("circuit.height", circuit.height)
    for check in charging.mounting_checks(book, place, height):
        ledger.judge(check)
    to_ground = book.figure("nominal_voltage_to_ground")
    for check in charger_disconnect(
        book, connection, current, to_ground, in_sight=truth(circuit.disconnect_in_sight)
    ):
        ledger.judge(check)


def _ground_fault(book: Book, ledger: Ledger, job: Job, rating: Entry) -> Entry:
    circuit = job.circuit
    outlet = Outlet(
        circuit.connection.value,
        circuit.place.value,
        CHARGING,
        book.figure("nominal_voltage"),
        book.figure("nominal_voltage_to_ground"),
        rating,
        work_date=job.work.planned_start.value,
        early_rule_adopted=truth(job.authority.early_gfci_rule_adopted),
        outdoor_rule_adopted=truth(job.authority.outdoor_gfci_rule_adopted),
    )
    answer = ground_fault_protection(
        book, outlet, given("circuit.device_kind", circuit.device_kind)
    )
    ledger.add(answer.required)
    ledger.add(answer.device_kind)
    ledger.judge(answer.check)
    return ledger.add(
        chosen(
            "circuit.is_gfci",
            answer.device_kind.value == GFCI,
            answer.device_kind.cite,
            device=answer.device_kind,
        )
    )


def _panel(book: Book, ledger: Ledger, job: Job, rating: Entry) -> PanelPicture:
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
    taken = _spaces(book, ledger, job, spaces)
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


def _spaces(book: Book, ledger: Ledger, job: Job, spaces: panels.Spaces) -> tuple[int, ...]:
    entry = given("circuit.spaces", job.circuit.spaces)
    if entry is not None and job.circuit.spaces is not None:
        ledger.add(entry)
        for check in panels.given_spaces(book, spaces, job.circuit.spaces.value, entry):
            ledger.judge(check)
        return job.circuit.spaces.value
    pair, check = panels.selected_spaces(book, spaces)
    ledger.judge(check)
    if pair is None:
        return ()
    ledger.add(pair)
    return spaces.free_pairs[0]


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
