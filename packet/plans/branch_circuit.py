"""A branch circuit of any kind: the rules in the order an inspector asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from packet.codebook import Book
from packet.jobfile.model import Job
from packet.language import ENGLISH, speaking
from packet.ledger import Check, Entry, Ledger, Verdict, chosen, computed, total
from packet.plans import installation, labels, place
from packet.plans.disputed import OtherReading, Sides, other_readings, sides
from packet.plans.givens import (
    conditions,
    counted,
    dwelling_loads,
    enter,
    feeder_loads,
    given,
    must,
    supply,
    terminal_at,
)
from packet.plans.installation import Installed
from packet.plans.kinds import Case, Demand, KindOfWork, kind_of, own_facts
from packet.plans.offer import Offer, offer
from packet.plans.panel import PanelPicture
from packet.plans.pictures import Stretch, enter_colors, enter_supply, stretches
from packet.plans.place import Placed
from packet.plans.route import Circuit, PlannedPart, may_be_buried, plan_part
from packet.plans.shopping import Shopping, shopping
from packet.rules import voltage_drop as drops
from packet.rules.ampacity import CABLES, ambient_known
from packet.rules.conductor import (
    CircuitDemand,
    SizedConductor,
    sized_conductor,
    uncorrected_conductor,
)
from packet.rules.fault_current import (
    interrupting_rating_covers_fault,
    panel_fault_current,
    unread_breaker_interrupts_fault,
)
from packet.rules.ground_fault import open_ground_fault_answers
from packet.rules.grounding import (
    EquipmentGrounding,
    box_bonding_jumper,
    cable_equipment_grounding,
    enlargement_is_disputed,
    equipment_grounding,
    equipment_grounding_base,
    equipment_grounding_checks,
    neutral_and_ground,
    neutral_stands_right,
)
from packet.rules.load import (
    Load,
    LoadCalculation,
    Remedies,
    Supply,
    Worksheet,
    calculate,
    heating_and_cooling_settled,
    remedies,
)
from packet.rules.overcurrent import overcurrent_rating_checks
from packet.rules.panel import feeder_load_is_known, feeder_worksheet
from packet.rules.voltage_drop import VoltageDrop

MEASURED = (
    "record",
    "days",
    "interval",
    "solar_or_peak_shaving",
    "seasonal_load_included",
    "occupied",
)
"""What decides whether a measured demand counts; printed also where another method is taken."""


@dataclass(frozen=True)
class Plan:
    """A job worked out: the ledger, and the few things that sheets lay out in order.

    `current` is what the equipment draws, under the name that its kind has for it.
    """

    book: Book
    ledger: Ledger
    load: LoadCalculation
    feeder: Worksheet | None
    remedies: Remedies
    parts: tuple[PlannedPart, ...]
    picture: PanelPicture
    installed: Installed | None
    shopping: Shopping | None
    disputed: tuple[OtherReading, ...]
    offer: Offer | None
    kind: KindOfWork
    current: Entry
    stretches: tuple[Stretch, ...] = ()


@dataclass(frozen=True)
class Protection:
    """The kind of work, what its equipment asks for, and the device that protects the circuit."""

    kind: KindOfWork
    demand: Demand
    hots: int
    voltage: Entry
    rating: Entry


@speaking(ENGLISH)
def plan(job: Job) -> Plan:
    """Work out one job, in English whatever is spoken: the ledger keeps words of the glossary.

    Parameters
    ----------
    job : Job

    Returns
    -------
    Plan
        Its ledger holds every value and every check. Where the conductors cannot be
        sized because an answer is missing, or may not be buried as the job has them, what
        depends on them is left out and the question stands in the ledger.
    """
    book = Book(job.authority.code_edition.value)
    ledger = Ledger()
    _enter_people(ledger, job)
    if book.edition == "2026":
        ledger.judge(Check("edition_is_confirmed", Verdict.ASK, (book.cite("adopted_edition"),)))
    taken = sides(job)
    case = Case(book, ledger, job, taken)
    protection = _protection(case)
    kind = protection.kind
    placed = place.placed(case, kind, protection.demand, protection.rating)
    calculation, put_right = _load(case, protection)
    feeder = _feeder(case, protection)
    labels.judge_labels(case, protection.rating, kind.maximum_device(case), protection.hots)
    _fault(book, ledger, job)
    sized, grounding, needed = _conductors(book, ledger, job, protection, placed, taken)
    disputed = other_readings(book, ledger, job, taken, needed, kind.points(case))
    parts: tuple[PlannedPart, ...] = ()
    installed = bought = offered = None
    enter_supply(ledger, job)
    between: tuple[Stretch, ...] = ()
    buried = [ledger.judge(check) for check in may_be_buried(book, job)]
    plannable = all(check.verdict is Verdict.MEETS for check in buried)
    if plannable and sized is not None and sized.size is not None and grounding is not None:
        circuit = Circuit(
            sized.size,
            grounding,
            protection.hots,
            int(placed.has_neutral),
            protection.voltage,
            protection.rating,
            placed.is_gfci,
        )
        parts = tuple(
            plan_part(book, ledger, number, part, circuit)
            for number, part in enumerate(job.route, 1)
        )
        labels.judge_route(book, ledger, job, parts)
        drop = _drop(book, ledger, job, protection, sized.size)
        facts = own_facts(case, kind, protection.demand)
        installed = installation.installed(
            book,
            ledger,
            job,
            circuit,
            placed,
            parts,
            drop if kind.shows_voltage else None,
            taken,
            facts,
        )
        bought = shopping(book, ledger, job, circuit, placed, parts)
        _ground_fault_by_the_end(case, protection)
        offered = offer(book, ledger, job, bought)
        enter_colors(book, ledger, parts, neutral=placed.has_neutral)
        between = stretches(ledger, job, parts)
    return Plan(
        book,
        ledger,
        calculation,
        feeder,
        put_right,
        parts,
        placed.picture,
        installed,
        bought,
        disputed,
        offered,
        kind,
        protection.demand.drawn,
        between,
    )


def _ground_fault_by_the_end(case: Case, protection: Protection) -> None:
    """Ask where a rule on ground-fault protection begins between the start and the final."""
    outlet = place.ground_fault_outlet(case, protection.kind, protection.rating)
    kind, final = case.ledger["selected_device_kind"], case.ledger["final_inspection"]
    for check in open_ground_fault_answers(case.book, outlet, kind, final):
        case.ledger.judge(check)


def _enter_people(ledger: Ledger, job: Job) -> None:
    people, office = job.people, job.authority
    installer = people.installer
    for name, leaf in (
        ("work.number", job.work.number),
        ("work.title", job.work.title),
        ("work.written", job.work.written),
        ("work.planned_start", job.work.planned_start),
        ("people.owner", people.owner.name),
        ("people.owner_phone", people.owner.phone),
        ("people.work_by", people.work_by),
        ("people.installer", installer and installer.name),
        ("people.installer_company", installer and installer.company),
        ("people.installer_address", installer and installer.address),
        ("people.installer_phone", installer and installer.phone),
        ("people.installer_licence", installer and installer.licence),
        ("site.address", job.site.address),
        ("site.building", job.site.building),
        ("site.county", job.site.county),
        ("site.parcel", job.site.parcel),
        ("authority.office", office.office),
        ("authority.phone", office.phone),
        ("authority.address", office.address),
        ("authority.permit_number", office.permit_number),
        ("authority.inspections", office.inspections),
        ("authority.permit_fee", office.permit_fee),
        ("authority.edition", office.code_edition),
        ("utility.name", job.utility and job.utility.name),
        (
            "disputed.agreed_with",
            job.readings_of_the_code and job.readings_of_the_code.agreed_with,
        ),
        ("utility.locate_phone", job.utility and job.utility.locate_phone),
        ("service.system", job.service.system),
    ):
        enter(ledger, name, leaf)


def _protection(case: Case) -> Protection:
    """Return what the equipment asks of its circuit, and its overcurrent device."""
    book, ledger, kind = case.book, case.ledger, kind_of(case.job)
    demand = kind.demand(case)
    minimum, selected = ledger.add(demand.minimum), ledger.add(demand.selected)
    rating = given("overcurrent_rating", case.job.circuit.overcurrent_device) or chosen(
        "overcurrent_rating", selected.value, selected.cite, selected=selected
    )
    ledger.add(rating)
    for check in overcurrent_rating_checks(book, rating, minimum, selected):
        ledger.judge(check)
    return Protection(kind, demand, kind.hots(case), kind.voltage(case), rating)


def _load(case: Case, protection: Protection) -> tuple[LoadCalculation, Remedies]:
    book, ledger, job, taken = case.book, case.ledger, case.job, case.taken
    served = supply(book, job)
    method = given("circuit.load_method", job.circuit.load_method)
    new = _new_loads(case, protection)
    loads = dwelling_loads(job, new)
    calculation = calculate(book, loads, served, method, taken.load)
    measured = job.dwelling.measured_demand
    for name in MEASURED if measured else ():
        enter(ledger, f"dwelling.measured_demand.{name}", getattr(measured, name))
    unsettled = heating_and_cooling_settled(book, loads)
    if unsettled is not None and calculation.worksheet.method == "standard":
        ledger.judge(unsettled)
    for worksheet in calculation.worksheets:
        for line in worksheet.lines:
            ledger.add(line.entry)
            if line.name is not None:
                ledger.add(line.name)
        left = computed(
            f"load.{worksheet.method}.left",
            "R - I",
            book.cite("supply_carries_load"),
            R=served.rating,
            I=worksheet.deciding,
        )
        for entry in (
            worksheet.total,
            worksheet.amperes,
            worksheet.whole_amperes,
            worksheet.deciding,
            left,
            *_of_disputed(worksheet),
        ):
            ledger.add(entry)
    ledger.add(calculation.method)
    if method is not None:
        ledger.add(method)
    for check in calculation.checks:
        ledger.judge(check)
    for room in (
        calculation.headroom,
        calculation.room_for_charging,
        calculation.largest_continuous_current,
        *calculation.fitting_settings,
    ):
        if room is not None:
            ledger.add(room)
    put_right = remedies(book, calculation, served)
    for remedy in (
        put_right.setting,
        put_right.management_limit,
        put_right.method,
        put_right.measured_peak,
        put_right.service,
    ):
        if remedy is not None and not calculation.worksheet.carries:
            ledger.add(remedy)
    return calculation, put_right


def _of_disputed(worksheet: Worksheet) -> Iterator[Entry]:
    for point in worksheet.disputed:
        yield from (point.taken, point.other_total, point.other_amperes)


def _new_loads(case: Case, protection: Protection) -> tuple[Load, ...]:
    """Return the equipment as the load calculation sees it."""
    job, kind = case.job, protection.kind
    first = len(job.dwelling.loads) + 1
    lines = kind.loads(case, f"dwelling.load.{first}", protection.demand)
    title = job.work.title
    return tuple(
        Load(
            number,
            line.kind,
            must(f"dwelling.load.{number}.name", line.name or title),
            line.rating,
            counted(f"dwelling.load.{number}.count", 1, must("work.title", title)),
            protection.voltage,
            kind.fastened(case),
            new=True,
        )
        for number, line in enumerate(lines, first)
    )


def _feeder(case: Case, protection: Protection) -> Worksheet | None:
    """Judge the feeder of a subpanel with the new load on it; None where there is no feeder."""
    book, ledger, job, taken = case.book, case.ledger, case.job, case.taken
    feeder = job.panel.feeder
    if feeder is None:
        return None
    rating = must("panel.feeder_rating", feeder.rating)
    ledger.judge(protection.kind.feeder_check(case, rating, protection.demand))
    said = all(load.on_subpanel is not None for load in job.dwelling.loads)
    ledger.judge(feeder_load_is_known(book, known=feeder.serves is not None and said))
    if feeder.serves is None:
        return None
    loads = feeder_loads(job, feeder.serves, _new_loads(case, protection))
    unsettled = heating_and_cooling_settled(book, loads)
    if unsettled is not None:
        ledger.judge(unsettled)
    served = Supply(rating, book.figure("nominal_voltage"))
    sheet = feeder_worksheet(book, loads, served, taken.load)
    for line in sheet.lines:
        ledger.add(line.entry)
    left = computed(
        "feeder.left", "R - I", book.cite("supply_carries_load"), R=rating, I=sheet.deciding
    )
    for entry in (
        sheet.total,
        sheet.amperes,
        sheet.whole_amperes,
        sheet.deciding,
        left,
        *_of_disputed(sheet),
    ):
        ledger.add(entry)
    ledger.judge(sheet.check)
    return sheet


def _fault(book: Book, ledger: Ledger, job: Job) -> None:
    available = given(
        "available_fault_current", job.utility and job.utility.available_fault_current
    )
    rating = labels.weakest_interrupting_rating(book, job)
    if available is not None:
        ledger.add(available)
        available = _through_feeder(book, job, available)
    ledger.judge(interrupting_rating_covers_fault(book, rating, available))
    read = given("device_interrupting_rating", job.circuit.device_interrupting_rating)
    if read is None and available is not None:
        ledger.judge(unread_breaker_interrupts_fault(book, available))


def _through_feeder(book: Book, job: Job, available: Entry) -> Entry:
    """Return the fault current at the panel: what a known feeder lets through of the service's."""
    feeder = job.panel.feeder
    if feeder is None:
        return available
    size, material = given("feeder.size", feeder.size), given("feeder.material", feeder.material)
    method = given("feeder.method", feeder.method)
    if size is None or material is None or method is None:
        return available
    run = drops.RunPart("feeder", method, must("feeder.length", feeder.length))
    voltage = book.figure("nominal_voltage")
    return panel_fault_current(book, available, voltage, run, size, material)


def _conductors(
    book: Book, ledger: Ledger, job: Job, protection: Protection, placed: Placed, taken: Sides
) -> tuple[SizedConductor | None, Entry | None, EquipmentGrounding | None]:
    """Size the circuit's conductors and their equipment grounding conductor."""
    neutrals = int(placed.has_neutral)
    route = [
        conditions(book, number, part, protection.hots, neutrals)
        for number, part in enumerate(job.route, 1)
    ]
    for number, part in enumerate(job.route, 1):
        ledger.judge(ambient_known(book, number, given(f"route.{number}.ambient", part.ambient)))
    known = [part for part in route if part is not None]
    if len(known) < len(route):
        return None, None, None
    material = given("conductor_material", job.circuit.material) or chosen(
        "conductor_material", "copper", book.cite("conductor_material_choice")
    )
    demand = CircuitDemand(
        protection.demand.load,
        protection.demand.minimum_ampacity,
        protection.rating,
        chosen("several_receptacles", False, book.cite(protection.kind.serves_alone)),
        protection.demand.device_limit,
        protection.demand.small_conductors_free,
    )
    ends = ("panel breaker", "receptacle hot" if placed.is_receptacle else "equipment line")
    marks = [_mark(job, number, end) for number, end in enumerate(ends, 1)]
    given_size = given("conductor_size", job.circuit.conductor)
    sized = sized_conductor(book, known, material, marks, demand, given_size)
    if given_size is None and sized.size is not None:
        size = chosen("conductor_size", sized.size.value, sized.size.cite, selected=sized.size)
        sized = replace(sized, size=size)
    for check in sized.checks:
        ledger.judge(check)
    ledger.add(sized.termination)
    if sized.size is None or sized.selected is None or not sized.parts:
        return sized, None, None
    for entry in (material, sized.size, sized.selected):
        ledger.add(entry)
    base = uncorrected_conductor(book, known, material, sized.termination, demand)
    needed = equipment_grounding(
        book,
        protection.rating,
        sized.size,
        equipment_grounding_base(book, base or sized.selected, sized.selected),
        material,
    )
    by_person = taken.qualified_person_sizes and enlargement_is_disputed(book)
    least = ledger.add(needed.unenlarged if by_person else needed.minimum)
    ground = ledger.add(_grounding(book, job, sized.size, material, least))
    if any(box.material.value == "metal" for box in job.boxes or ()):
        ledger.add(box_bonding_jumper(book, needed))
    for check in _cable_grounds(book, job, sized.size, material):
        ledger.judge(check)
    for check in equipment_grounding_checks(
        book,
        ground,
        sized.size,
        needed,
        by_qualified_person=by_person,
        agreed=taken.agreed,
    ):
        ledger.judge(check)
    kind = must("panel_kind", job.panel.kind)
    ledger.add(neutral_and_ground(book, kind))
    apart = given("neutral_apart_from_ground", job.panel.neutral_apart_from_ground)
    if apart is not None or kind.value == "subpanel":
        ledger.judge(neutral_stands_right(book, kind, apart))
    return sized, ground, needed


def _grounding(book: Book, job: Job, size: Entry, material: Entry, smallest: Entry) -> Entry:
    """Return the equipment grounding conductor: given, inside the cables, or the smallest.

    Of several cables in a row, the least conductor is what a fault current finds.
    """
    stated = given("equipment_grounding", job.circuit.equipment_grounding)
    if stated is not None:
        return stated
    methods = [must(f"route.{n}.method", part.method) for n, part in enumerate(job.route, 1)]
    found = [cable_equipment_grounding(book, method, material, size) for method in methods]
    inside = [one for one in found if one is not None]
    if inside:
        least = min(inside, key=lambda one: one.value.rank)
        return chosen("equipment_grounding", least.value, least.cite, cable=least)
    return chosen("equipment_grounding", smallest.value, smallest.cite, minimum=smallest)


def _cable_grounds(book: Book, job: Job, size: Entry, material: Entry) -> Iterator[Check]:
    """Ask for the equipment grounding conductor of a cable that is not on record."""
    if job.circuit.equipment_grounding is not None:
        return
    cite = book.table("cable_equipment_grounding").cite
    for number, part in enumerate(job.route, 1):
        method = must(f"route.{number}.method", part.method)
        inside = cable_equipment_grounding(book, method, material, size)
        if method.value in CABLES and inside is None:
            name = f"route.{number}.cable_ground_known"
            yield Check(name, Verdict.ASK, (cite,), facts=(method, size))


def _mark(job: Job, number: int, end: str) -> Entry | None:
    terminal = terminal_at(job, end)
    return given(f"terminal.{number}.temperature", terminal and terminal.temperature)


def _drop(book: Book, ledger: Ledger, job: Job, protection: Protection, size: Entry) -> VoltageDrop:
    material = ledger["conductor_material"]
    run = [
        drops.RunPart(
            f"route.{number}",
            must(f"route.{number}.method", part.method),
            must(f"route.{number}.length", part.length),
        )
        for number, part in enumerate(job.route, 1)
    ]
    factor = given("circuit_power_factor", job.circuit.power_factor) or book.figure(
        "unity_power_factor", "circuit_power_factor"
    )
    load = drops.Load(protection.voltage, protection.demand.current, factor)
    loop = drops.route_loop(book, run, size, material)
    drop = drops.voltage_drop(book, load, loop)
    for entry in (drop.drop, drop.approximate, drop.share, drop.outlet_voltage):
        ledger.add(entry)
    better = drops.conductor_for_voltage_drop(book, run, size, material, load)
    for check in drops.voltage_drop_checks(book, drop, None, better):
        ledger.judge(check)
    ledger.add(
        total("circuit.length", book.cite("voltage_drop_arithmetic"), "L", [p.length for p in run])
    )
    return drop


__all__ = ["Plan", "Worksheet", "plan"]
