"""A 240 V branch circuit for vehicle charging: the rules in the order an inspector asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from packet.codebook import Book
from packet.jobfile.model import Job
from packet.ledger import Check, Entry, Kind, Ledger, Verdict, chosen, computed, total
from packet.plans import installation, labels, place
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
from packet.plans.panel import PanelPicture
from packet.plans.pictures import Stretch, enter_colors, enter_supply, stretches
from packet.plans.place import Placed
from packet.plans.route import Circuit, PlannedPart, plan_part
from packet.plans.shopping import Shopping, shopping
from packet.quantities import quantity
from packet.rules import voltage_drop as drops
from packet.rules.ampacity import CABLES, ambient_known
from packet.rules.conductor import (
    CircuitDemand,
    SizedConductor,
    circuit_load,
    minimum_conductor_ampacity,
    sized_conductor,
    uncorrected_conductor,
)
from packet.rules.fault_current import interrupting_rating_covers_fault
from packet.rules.grounding import (
    EquipmentGrounding,
    box_bonding_jumper,
    cable_equipment_grounding,
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
    remedies,
)
from packet.rules.overcurrent import (
    minimum_overcurrent_rating,
    overcurrent_rating_checks,
    selected_overcurrent_rating,
)
from packet.rules.panel import feeder_carries_charger, feeder_load_is_known, feeder_worksheet
from packet.rules.voltage_drop import VoltageDrop

HOT_CONDUCTORS = 2


@dataclass(frozen=True)
class Plan:
    """A job worked out: the ledger, and the few things that sheets lay out in order."""

    book: Book
    ledger: Ledger
    load: LoadCalculation
    feeder: Worksheet | None
    remedies: Remedies
    parts: tuple[PlannedPart, ...]
    picture: PanelPicture
    installed: Installed | None
    shopping: Shopping | None
    stretches: tuple[Stretch, ...] = ()


@dataclass(frozen=True)
class Protection:
    """Load of the circuit and the device that protects it."""

    charging_current: Entry
    other_load: Entry
    minimum: Entry
    rating: Entry


def plan(job: Job) -> Plan:
    """Work out one job.

    Parameters
    ----------
    job : Job

    Returns
    -------
    Plan
        Its ledger holds every value and every check. Where the conductors cannot be
        sized because an answer is missing, what depends on them is left out and the
        question stands in the ledger.
    """
    book = Book(job.authority.code_edition.value)
    ledger = Ledger()
    _enter_people(ledger, job)
    if book.edition == "2026":
        ledger.judge(Check("edition_is_confirmed", Verdict.ASK, (book.cite("adopted_edition"),)))
    protection = _protection(book, ledger, job)
    placed = place.placed(book, ledger, job, protection.charging_current, protection.rating)
    calculation, put_right = _load(book, ledger, job, protection)
    feeder = _feeder(book, ledger, job, protection)
    _fault(book, ledger, job)
    labels.judge_labels(book, ledger, job, protection.rating)
    sized, grounding = _conductors(book, ledger, job, protection, placed)
    parts: tuple[PlannedPart, ...] = ()
    installed = bought = None
    enter_supply(ledger, job)
    between: tuple[Stretch, ...] = ()
    if sized is not None and sized.size is not None and grounding is not None:
        circuit = Circuit(
            sized.size,
            grounding,
            HOT_CONDUCTORS,
            int(placed.has_neutral),
            book.figure("nominal_voltage"),
            protection.rating,
            placed.is_gfci,
        )
        parts = tuple(
            plan_part(book, ledger, number, part, circuit)
            for number, part in enumerate(job.route, 1)
        )
        labels.judge_route(book, ledger, job, parts)
        drop = _drop(book, ledger, job, protection, sized.size)
        installed = installation.installed(book, ledger, job, circuit, placed, parts, drop)
        bought = shopping(book, ledger, job, circuit, placed, parts)
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
        between,
    )


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
        ("people.installer_phone", installer and installer.phone),
        ("people.installer_licence", installer and installer.licence),
        ("site.address", job.site.address),
        ("site.building", job.site.building),
        ("authority.office", office.office),
        ("authority.phone", office.phone),
        ("authority.permit_fee", office.permit_fee),
        ("authority.edition", office.code_edition),
        ("utility.name", job.utility and job.utility.name),
        ("utility.locate_phone", job.utility and job.utility.locate_phone),
    ):
        enter(ledger, name, leaf)


def _protection(book: Book, ledger: Ledger, job: Job) -> Protection:
    """Return the continuous load of the circuit and its overcurrent device."""
    charging = place.charging_current(book, ledger, job)
    other = ledger.add(
        Entry("noncontinuous_load", quantity(0, "A"), Kind.GIVEN, span=job.circuit.span)
    )
    continuous = ledger.add(
        chosen(
            "continuous_load",
            charging.value,
            book.cite("ev_load_is_continuous"),
            charging=charging,
        )
    )
    minimum = ledger.add(minimum_overcurrent_rating(book, continuous, other))
    selected = ledger.add(selected_overcurrent_rating(book, minimum))
    rating = given("overcurrent_rating", job.circuit.overcurrent_device) or chosen(
        "overcurrent_rating", selected.value, selected.cite, selected=selected
    )
    ledger.add(rating)
    for check in overcurrent_rating_checks(book, rating, minimum, selected):
        ledger.judge(check)
    return Protection(continuous, other, minimum, rating)


def _load(
    book: Book, ledger: Ledger, job: Job, protection: Protection
) -> tuple[LoadCalculation, Remedies]:
    served = supply(book, job)
    method = given("circuit.load_method", job.circuit.load_method)
    new = _new_load(book, job, protection)
    calculation = calculate(book, dwelling_loads(job, new), served, method)
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
            I=worksheet.amperes,
        )
        for entry in (
            worksheet.total,
            worksheet.amperes,
            worksheet.whole_amperes,
            left,
            *worksheet.readings,
            *worksheet.other_totals,
        ):
            ledger.add(entry)
    ledger.add(calculation.method)
    if method is not None:
        ledger.add(method)
    for check in calculation.checks:
        ledger.judge(check)
    for room in (
        calculation.headroom,
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


def _new_load(book: Book, job: Job, protection: Protection) -> Load:
    """Return the charger as the load calculation sees it."""
    number = len(job.dwelling.loads) + 1
    at = f"dwelling.load.{number}"
    title = job.work.title
    return Load(
        number,
        "vehicle charger",
        Entry(f"{at}.name", title.value, Kind.GIVEN, span=title.span),
        chosen(
            f"{at}.current",
            protection.charging_current.value,
            book.cite("ev_load_is_continuous"),
            charging=protection.charging_current,
        ),
        counted(f"{at}.count", 1, must("work.title", title)),
        book.figure("nominal_voltage"),
        new=True,
    )


def _feeder(book: Book, ledger: Ledger, job: Job, protection: Protection) -> Worksheet | None:
    """Judge the feeder of a subpanel with the new load on it; None where there is no feeder."""
    feeder = job.panel.feeder
    if feeder is None:
        return None
    rating = must("panel.feeder_rating", feeder.rating)
    ledger.judge(feeder_carries_charger(book, rating, protection.charging_current))
    ledger.judge(feeder_load_is_known(book, known=feeder.serves is not None))
    if feeder.serves is None:
        return None
    loads = feeder_loads(job, feeder.serves, _new_load(book, job, protection))
    sheet = feeder_worksheet(book, loads, Supply(rating, book.figure("nominal_voltage")))
    for line in sheet.lines:
        ledger.add(line.entry)
    left = computed(
        "feeder.left", "R - I", book.cite("supply_carries_load"), R=rating, I=sheet.amperes
    )
    for entry in (sheet.total, sheet.amperes, sheet.whole_amperes, left):
        ledger.add(entry)
    ledger.judge(sheet.check)
    return sheet


def _fault(book: Book, ledger: Ledger, job: Job) -> None:
    available = given(
        "available_fault_current", job.utility and job.utility.available_fault_current
    )
    rating = labels.weakest_interrupting_rating(book, job)
    ledger.judge(interrupting_rating_covers_fault(book, rating, available))


def _conductors(
    book: Book, ledger: Ledger, job: Job, protection: Protection, placed: Placed
) -> tuple[SizedConductor | None, Entry | None]:
    """Size the circuit's conductors and their equipment grounding conductor."""
    neutrals = int(placed.has_neutral)
    route = [
        conditions(book, number, part, HOT_CONDUCTORS, neutrals)
        for number, part in enumerate(job.route, 1)
    ]
    for number, part in enumerate(job.route, 1):
        ledger.judge(ambient_known(book, number, given(f"route.{number}.ambient", part.ambient)))
    known = [part for part in route if part is not None]
    if len(known) < len(route):
        return None, None
    material = given("conductor_material", job.circuit.material) or chosen(
        "conductor_material", "copper", book.cite("conductor_material_choice")
    )
    demand = CircuitDemand(
        circuit_load(book, protection.charging_current, protection.other_load),
        minimum_conductor_ampacity(book, protection.charging_current, protection.other_load),
        protection.rating,
        counted_no(book),
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
        return sized, None
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
    ledger.add(needed.minimum)
    ground = ledger.add(_grounding(book, job, sized.size, material, needed))
    if any(box.material.value == "metal" for box in job.boxes or ()):
        ledger.add(box_bonding_jumper(book, needed))
    for check in _cable_grounds(book, job, sized.size, material):
        ledger.judge(check)
    for check in equipment_grounding_checks(book, ground, sized.size, needed):
        ledger.judge(check)
    kind = must("panel_kind", job.panel.kind)
    ledger.add(neutral_and_ground(book, kind))
    apart = given("neutral_apart_from_ground", job.panel.neutral_apart_from_ground)
    if apart is not None or kind.value == "subpanel":
        ledger.judge(neutral_stands_right(book, kind, apart))
    return sized, ground


def _grounding(
    book: Book, job: Job, size: Entry, material: Entry, needed: EquipmentGrounding
) -> Entry:
    """Return the equipment grounding conductor: given, inside the cable, or the smallest."""
    stated = given("equipment_grounding", job.circuit.equipment_grounding)
    if stated is not None:
        return stated
    for number, part in enumerate(job.route, 1):
        method = must(f"route.{number}.method", part.method)
        inside = cable_equipment_grounding(book, method, material, size)
        if inside is not None:
            return chosen("equipment_grounding", inside.value, inside.cite, cable=inside)
    return chosen(
        "equipment_grounding", needed.minimum.value, needed.minimum.cite, minimum=needed.minimum
    )


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


def counted_no(book: Book) -> Entry:
    """Return that the circuit feeds one outlet only, as the rule for chargers asks."""
    return chosen("several_receptacles", False, book.cite("individual_charging_circuit"))


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
    load = drops.Load(book.figure("nominal_voltage"), protection.charging_current, factor)
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
