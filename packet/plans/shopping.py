"""From the planned route to the bill of materials, the order dates and the hours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from packet.codebook import Book
from packet.jobfile.model import Box, Job, PriceLine
from packet.ledger import Check, Entry, Kind, Ledger, Verdict, computed, total
from packet.plans.boxes import is_spliced, place_is_wet
from packet.plans.calendar import enter_dates, stage_hours
from packet.plans.givens import counted, enter, given, must
from packet.plans.place import Placed
from packet.plans.route import Circuit, PlannedPart, is_concealed, takes_plates
from packet.quantities import quantity
from packet.rules import materials as stock
from packet.rules import schedule as plans
from packet.rules.disconnect import least_switch_rating
from packet.rules.materials import Bill, MaterialLine
from packet.rules.receptacle import configuration as configured


@dataclass(frozen=True)
class Sums:
    """What one trip costs; only where every line of it has a price and a shop."""

    subtotal: Entry
    tax: Entry | None
    total: Entry


@dataclass(frozen=True)
class Shopping:
    """What to buy and how long the work takes."""

    bill: Bill
    hours: Entry
    tax_rate: Entry | None
    dated: Entry | None
    trips: dict[str, Sums]
    total: Entry | None


def shopping(
    book: Book,
    ledger: Ledger,
    job: Job,
    circuit: Circuit,
    placed: Placed,
    parts: tuple[PlannedPart, ...],
) -> Shopping:
    """Enter everything to buy, with its prices and dates, and the hours of the work."""
    prices = job.prices
    waste = given("prices.waste", prices and prices.waste) or book.figure(
        "usual_waste", "prices.waste"
    )
    tax = given("prices.sales_tax", prices and prices.sales_tax)
    enter(ledger, "prices.dated", prices and prices.dated)
    boxes = tuple(job.boxes or ())
    metal = str(ledger["conductor_material"].value)
    needs = [
        *(
            need
            for run in _planned_runs(book, job, circuit, placed, parts, metal)
            for need in stock.run_needs(book, run, waste)
        ),
        *(
            need
            for number, box in enumerate(boxes, 1)
            for need in stock.box_needs(book, _fitting(book, ledger, job, number, circuit, parts))
        ),
        *_end_needs(book, job, placed, circuit, parts),
    ]
    offers = {
        line.item.value: _offer(number, line)
        for number, line in enumerate(prices.items if prices else (), 1)
    }
    bill = stock.bill_of_materials(book, needs, offers, tax)
    for line in bill.lines:
        whole = (line.needed, line.bought, line.price, line.cost, line.lead_time, line.shop)
        for entry in (*whole, *line.facts):
            if entry is not None:
                ledger.add(entry)
        for number, length in line.pieces:
            ledger.add(number)
            ledger.add(length)
    _price_checks(book, ledger, bill, prices.items if prices else (), spare=job.options is not None)
    _order_dates(book, ledger, bill, given("first_order_day", prices and prices.first_order_day))
    lengths = _lengths(book, ledger, parts, boxes)
    hours = ledger.add(
        stock.work_hours(book, lengths.cable, lengths.raceway, lengths.trench, lengths.boxes)
    )
    _work_days(book, ledger, job, hours, circuit)
    stages = stage_hours(book, lengths.trench, lengths.cable, lengths.raceway, lengths.boxes, hours)
    enter_dates(book, ledger, job, stages, digs=any(part.is_buried for part in parts))
    trips = _trips(book, ledger, bill, tax)
    return Shopping(
        bill,
        hours,
        tax,
        given("prices.dated", prices and prices.dated),
        trips,
        _whole(book, ledger, bill, trips),
    )


def _whole(book: Book, ledger: Ledger, bill: Bill, trips: dict[str, Sums]) -> Entry | None:
    """Return the sum of all trips; None while a price or a shop is missing."""
    if not bill.complete or any(line.shop is None for line in bill.lines):
        return None
    sums = [trip.total for trip in trips.values()]
    return ledger.add(total("trips.total", book.cite("price_arithmetic"), "c", sums))


def _trips(book: Book, ledger: Ledger, bill: Bill, tax: Entry | None) -> dict[str, Sums]:
    """Return the sums of each shop that the job file names."""
    cite = book.cite("price_arithmetic")
    shops = list(dict.fromkeys(line.shop.value for line in bill.lines if line.shop))
    sums: dict[str, Sums] = {}
    for number, shop in enumerate(shops, 1):
        costs = [line.cost for line in bill.lines if line.shop and line.shop.value == shop]
        if None in costs:
            continue
        at = f"trip.{number}"
        subtotal = total(f"{at}.subtotal", cite, "c", [cost for cost in costs if cost])
        owed = tax and computed(
            f"{at}.tax",
            "round_half_up(c * t / u) * u",
            cite,
            c=subtotal,
            t=tax,
            u=book.figure("smallest_coin"),
        )
        whole = computed(
            f"{at}.total",
            "c + x" if owed else "c",
            cite,
            c=subtotal,
            **({"x": owed} if owed else {}),
        )
        for entry in (subtotal, owed, whole):
            if entry is not None:
                ledger.add(entry)
        sums[shop] = Sums(subtotal, owed, whole)
    return sums


def _runs(parts: tuple[PlannedPart, ...], boxed: set[str]) -> list[list[PlannedPart]]:
    """Return the parts put together by method: a run of one method is bought as one.

    A part that ends in a box ends its run there.
    """
    groups: list[list[PlannedPart]] = []
    for part in parts:
        size = part.fill.trade_size.value if part.fill else None
        last = groups[-1][-1] if groups else None
        same = (
            last is not None
            and last.name.value not in boxed
            and last.method.value == part.method.value
            and (last.fill.trade_size.value if last.fill else None) == size
        )
        if same:
            groups[-1].append(part)
        else:
            groups.append([part])
    return groups


def _planned_runs(
    book: Book,
    job: Job,
    circuit: Circuit,
    placed: Placed,
    parts: tuple[PlannedPart, ...],
    metal: str,
) -> Iterator[stock.Run]:
    """Yield each run with what is at its ends: a box, or the next raceway.

    Conductors are one piece from splice to splice: through a pull box too.
    """
    boxes = [box for box in job.boxes or () if box.after is not None]
    boxed = {box.after.value for box in boxes if box.after is not None}
    cut = {
        box.after.value
        for box in boxes
        if box.after is not None and (box.role.value != "pull" or is_spliced(job, box))
    }
    groups = _runs(parts, boxed)
    for place, group in enumerate(groups):
        before = place > 0 and not _ends_in_box(groups[place - 1], boxed)
        after = place < len(groups) - 1 and not _ends_in_box(group, boxed)
        through = place > 0 and not _ends_in_box(groups[place - 1], cut)
        pull = list(group)
        for further in groups[place + 1 :]:
            if _ends_in_box(pull, cut):
                break
            pull += further
        yield replace(
            _run(book, job, place + 1, group, circuit, placed),
            material=metal,
            joined_before=before,
            joined_after=after,
            pulled_through=through,
            pull_lengths=[part.length for part in pull],
        )


def _ends_in_box(group: list[PlannedPart], boxed: set[str]) -> bool:
    return group[-1].is_cable or group[-1].name.value in boxed


def _run(
    book: Book,
    job: Job,
    number: int,
    group: list[PlannedPart],
    circuit: Circuit,
    placed: Placed,
) -> stock.Run:
    first = group[0]
    cite = book.cite("material_from_route")
    buried = [part.length for part in group if part.is_buried]
    bends = [part.elbows for part in group if part.elbows]
    plates = [
        book.figure("plates_per_part", f"route.{part.number}.plate_count")
        for part in group
        if is_concealed(part) and takes_plates(book, part)
    ]
    growth = [part.expansion_fittings for part in group if part.expansion_fittings]
    bodies = [part.pull_points for part in group if part.pull_points]
    insulation = job.route[first.number - 1].insulation
    return stock.Run(
        number,
        str(first.method.value),
        [part.length for part in group],
        [part.supports.count for part in group if part.supports],
        circuit.size,
        circuit.grounding_size,
        circuit.hots,
        placed.has_neutral,
        insulation.value if insulation else "THHN/THWN-2",
        first.fill.trade_size if first.fill else None,
        plates=plates,
        elbows=total(f"run.{number}.elbows", bends[0].cite, "n", bends) if bends else None,
        expansion_fittings=total(f"run.{number}.expansion_fittings", growth[0].cite, "n", growth)
        if growth
        else None,
        conduit_bodies=bodies[0] if len(bodies) == 1 else None,
        buried_length=total(f"run.{number}.buried_length", cite, "L", buried) if buried else None,
        from_panel=number == 1,
    )


def _fitting(
    book: Book,
    ledger: Ledger,
    job: Job,
    number: int,
    circuit: Circuit,
    parts: tuple[PlannedPart, ...],
) -> stock.Fitting:
    box = (job.boxes or ())[number - 1]
    if box.role.value == "disconnect":
        return _switch(book, ledger, number, wet=bool(place_is_wet(book, job, box, parts)))
    material = box.material.value
    splices = is_spliced(job, box)
    return stock.Fitting(
        number,
        f"{box.role.value}-{material}-box",
        material == "metal",
        given(f"box.{number}.ring_volume", box.ring_volume) is not None,
        f"{box.role.value}-cover",
        splices,
        circuit.hots + circuit.neutrals + 1 if splices else 0,
        circuit.size,
        device=box.role.value == "outlet",
    )


def _switch(book: Book, ledger: Ledger, number: int, *, wet: bool) -> stock.Fitting:
    rating = ledger.add(
        least_switch_rating(
            book,
            f"fitting.{number}.least_switch_rating",
            ledger["overcurrent_rating"],
            ledger["equipment_current"] if ledger["fact.is_cooling_unit"].value else None,
        )
    )
    key = "wet-disconnect-switch" if wet else "disconnect-switch"
    return stock.Fitting(number, key, metal=False, ring=False, cover="", switch=rating)


def _end_needs(
    book: Book, job: Job, placed: Placed, circuit: Circuit, parts: tuple[PlannedPart, ...]
) -> Iterator[stock.Need]:
    holes = [
        part for part in job.route if part.through_rated_wall and part.through_rated_wall.value
    ]
    firestop = None
    if holes:
        firestop = Entry(
            "ends.rated_holes", quantity(len(holes)), Kind.GIVEN, span=holes[0].name.span
        )
    configuration = given("circuit.configuration", job.circuit.configuration)
    if not placed.is_receptacle:
        configuration = None
    device = "gfci" if placed.is_gfci.value else "standard"
    outlet = None if configuration is None else configured(book, str(configuration.value)).rating
    walls = any(part.place.value == "interior wall" for part in parts)
    yield from stock.end_needs(
        book, configuration, circuit.rating, device, firestop, outlet, closes_wall=walls
    )


def _offer(number: int, line: PriceLine) -> stock.Offer:
    at = f"prices.{number}"
    by_foot = line.per.value == "ft"
    price = must(f"{at}.price_per_foot" if by_foot else f"{at}.price", line.price)
    if by_foot:
        price = Entry(price.name, price.value / quantity(1, "ft"), price.kind, span=price.span)
    return stock.Offer(
        price,
        given(f"{at}.pack", line.pack),
        [
            Entry(f"{at}.stock.{piece}.length", length, Kind.GIVEN, span=line.stock.span)
            for piece, length in enumerate(line.stock.value, 1)
        ]
        if line.stock
        else (),
        given(f"{at}.lead_time", line.lead_time),
        given(f"{at}.shop", line.shop),
    )


def _price_checks(
    book: Book, ledger: Ledger, bill: Bill, items: tuple[PriceLine, ...], *, spare: bool
) -> None:
    """Note a price that belongs to no material of this job, and a material without a price.

    A job with options has spare prices, for what could be built instead.
    """
    wanted = {line.id for line in bill.lines}
    cite = (book.cite("price_arithmetic"),)
    unused = [line for line in items if line.item.value not in wanted and not spare]
    for number, line in enumerate(unused, 1):
        name = must(f"prices.unused.{number}", line.item)
        ledger.judge(Check(f"prices.{number}.price_is_used", Verdict.NOTE, cite, left=name))
    if not bill.complete:
        ledger.judge(Check("every_material_has_a_price", Verdict.NOTE, cite))


def _order_dates(book: Book, ledger: Ledger, bill: Bill, first_day: Entry | None) -> None:
    start = ledger["work.planned_start"]
    for line in bill.lines:
        if line.lead_time is None:
            continue
        day = ledger.add(
            plans.order_by(book, f"material.{line.number}.order_by", start, line.lead_time)
        )
        if first_day is not None:
            name = f"material.{line.number}.ordered_in_time"
            ledger.judge(plans.ordered_in_time(book, name, day, first_day, line.lead_time))


def _work_days(book: Book, ledger: Ledger, job: Job, hours: Entry, circuit: Circuit) -> None:
    """Enter the working days in all, and the time without power."""
    factor = given("hours_factor", job.labour and job.labour.hours_factor)
    own = ledger.add(stock.own_hours(book, hours, factor)) if factor else hours
    ledger.add(plans.days_of_work(book, own))
    title = ledger["work.title"]
    landed = circuit.hots + circuit.neutrals + 1
    connections = counted("panel_connections", landed, title)
    ledger.add(plans.power_off_hours(book, connections))


@dataclass(frozen=True)
class _Lengths:
    """What the hours are reckoned from: lengths [ft] and the number of boxes."""

    cable: Entry
    raceway: Entry
    trench: Entry
    boxes: Entry


def _lengths(
    book: Book, ledger: Ledger, parts: tuple[PlannedPart, ...], boxes: tuple[Box, ...]
) -> _Lengths:
    cite = book.cite("hours_panel")

    def length(name: str, chosen_parts: list[PlannedPart]) -> Entry:
        lengths = [part.length for part in chosen_parts]
        if not lengths:
            return Entry(name, quantity(0, "ft"), Kind.GIVEN, span=ledger["work.title"].span)
        return total(name, cite, "L", lengths)

    number = Entry(
        "hours.boxes", quantity(max(1, len(boxes))), Kind.GIVEN, span=ledger["work.title"].span
    )
    return _Lengths(
        length("hours.cable", [part for part in parts if part.is_cable]),
        length("hours.raceway", [part for part in parts if not part.is_cable]),
        length("hours.trench", [part for part in parts if part.is_buried]),
        number,
    )


__all__ = ["MaterialLine", "Shopping", "Sums", "shopping"]
