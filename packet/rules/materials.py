"""What to buy: materials from route, boxes and outlet; lengths, pieces, prices and hours.

Stable keys of materials: words in lower case joined by hyphens, most special part first,
sizes without their unit word (``1-1-4`` for one and a quarter, ``2-0`` for two aught).

=====================  ==================================================================
cable                  ``{method}-{size}-{conductors}-cable``: ``nm-b-6-3-cable``
single conductor       ``{size}-{insulation}-{color}-wire``: ``6-thhn-black-wire``
either of aluminum     ``ser-4-3-aluminum-cable``, ``4-thhn-black-aluminum-wire``
raceway and its parts  ``{method}-{trade size}-{part}``: ``emt-1-coupling``
receptacle             ``{configuration}-receptacle``: ``14-50-receptacle``
breaker                ``{rating}-{poles}-pole-{kind}-breaker``: ``50-2-pole-gfci-breaker``
box                    ``{place}-{material}-box``: ``outlet-metal-box``
switch                 ``disconnect-switch``, ``wet-disconnect-switch``
everything else        its own name: ``grounding-pigtail``
=====================  ==================================================================
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from packet.codebook import Book
from packet.ledger import Entry, chosen, computed, decimal_of, total
from packet.quantities import ConductorSize, TradeSize, magnitude, quantity

CABLES = frozenset({"NM-B", "UF-B", "SER", "MC"})
"""Methods bought as cable, by length."""

THREADED = frozenset({"RMC"})
"""Raceways whose every end takes a bushing."""

GLUED = frozenset({"PVC-40", "PVC-80"})
"""Raceways joined with solvent cement."""

COILED = frozenset({"FMC", "LFMC", "LFNC-B", "ENT"})
"""Raceways bought as a coil, by length, and bent by hand."""

LIQUIDTIGHT = frozenset({"LFMC", "LFNC-B"})
"""Flexible raceways whose fittings keep water out."""

TUBING = frozenset({"EMT"})
"""Raceways whose fittings are held by a set screw or by compression."""


@dataclass(frozen=True)
class Run:
    """A stretch of one wiring method between two enclosures.

    Parameters
    ----------
    number : int
        Of the run, from the panel on.
    method : str
        Method word, such as ``NM-B``.
    lengths : sequence of Entry
        Of its route parts. [ft]
    supports : sequence of Entry
        Support counts of its parts.
    size, grounding : Entry
        Current-carrying conductors and equipment grounding conductor.
    hots, neutral : int, bool
        Ungrounded conductors, and whether there is a neutral.
    insulation : str
        Of conductors in a raceway.
    trade_size : Entry, optional
        Of a raceway.
    plates : sequence of Entry
        Steel plate counts of its parts.
    elbows, conduit_bodies, expansion_fittings : Entry, optional
        Bought bends, conduit bodies and expansion fittings.
    buried_length : Entry, optional
        Of the part in a trench. [ft]
    from_panel : bool
        Whether it starts in the panel.
    joined_before, joined_after : bool
        Whether another raceway, and no box, is at its start or end.
    pulled_through : bool
        Whether the conductors of the run before go on through this one in one piece.
    pull_lengths : sequence of Entry
        Of all route parts from this run's start to the next splice or end, where that is
        farther than the run: its conductors are one unbroken piece. [ft]
    material : str
        Of the conductors: ``copper`` or ``aluminum``, which have prices of their own.
    """

    number: int
    method: str
    lengths: Sequence[Entry]
    supports: Sequence[Entry]
    size: Entry
    grounding: Entry
    hots: int = 2
    neutral: bool = True
    insulation: str = "THHN/THWN-2"
    trade_size: Entry | None = None
    plates: Sequence[Entry] = ()
    elbows: Entry | None = None
    conduit_bodies: Entry | None = None
    expansion_fittings: Entry | None = None
    buried_length: Entry | None = None
    from_panel: bool = True
    joined_before: bool = False
    joined_after: bool = False
    pulled_through: bool = False
    pull_lengths: Sequence[Entry] = ()
    material: str = "copper"


@dataclass(frozen=True)
class Fitting:
    """A box with what belongs to it.

    Parameters
    ----------
    number : int
        Of the box.
    key : str
        Material key of the box, such as ``outlet-metal-box``.
    metal, ring, splices : bool
        Metal box; a ring or extension on it; conductors spliced in it.
    device : bool
        A receptacle or the like in it, whose ground comes off the joint of a metal box too.
    cover : str
        Material key of its cover or plate.
    conductors : int
        Conductors spliced, where there are splices.
    size : Entry, optional
        Of the largest of them.
    switch : Entry, optional
        Least rating of a switch that comes in its own enclosure, and is bought in place of
        the box. [A]
    """

    number: int
    key: str
    metal: bool
    ring: bool
    cover: str
    splices: bool = False
    conductors: int = 0
    size: Entry | None = None
    device: bool = False
    switch: Entry | None = None


@dataclass(frozen=True)
class Need:
    """A material and how much the job takes, before waste of pieces and stock sizes.

    `kind` is the key of its words in ``templates/materials.yaml``; `facts` are entries
    those words mention, by their place in the list.
    """

    id: str
    kind: str
    needed: Entry
    facts: tuple[Entry, ...] = ()


@dataclass(frozen=True)
class Offer:
    """What the job file says about buying a material; every part may be left out.

    Parameters
    ----------
    price : Entry, optional
        Of one piece, one pack or one stock length [$], or of a foot [$/ft].
    pack : Entry, optional
        Pieces in a pack, where the price is for a pack.
    stock : sequence of Entry
        Lengths it is sold in. [ft]
    lead_time : Entry, optional
        From order to hand. [days]
    shop : Entry, optional
        Where it is sold; else the usual kind of store.
    """

    price: Entry | None = None
    pack: Entry | None = None
    stock: Sequence[Entry] = ()
    lead_time: Entry | None = None
    shop: Entry | None = None


@dataclass(frozen=True)
class MaterialLine:
    """One line of the shopping list.

    Parameters
    ----------
    number : int
        Of the line.
    id, kind : str
        Material key, and key of its words.
    needed, bought : Entry
        What the job takes, and what to buy for it. [pieces or ft]
    price, cost : Entry, optional
        None while no price is known.
    lead_time : Entry, optional
        [days]
    shop : Entry, optional
        As given; None for the usual kind of store.
    pieces : tuple of (Entry, Entry)
        How many of which stock length.
    """

    number: int
    id: str
    kind: str
    needed: Entry
    bought: Entry
    price: Entry | None
    cost: Entry | None
    lead_time: Entry | None
    shop: Entry | None
    pieces: tuple[tuple[Entry, Entry], ...] = ()
    facts: tuple[Entry, ...] = ()


@dataclass(frozen=True)
class Bill:
    """All lines with their sums; `complete` is False while a price is missing."""

    lines: tuple[MaterialLine, ...]
    subtotal: Entry
    tax: Entry | None
    total: Entry
    complete: bool


@dataclass
class _Gathered:
    """Needs of like materials, put together in the order they first came up."""

    parts: dict[str, list[Need]] = field(default_factory=dict)

    def add(self, need: Need) -> None:
        self.parts.setdefault(need.id, []).append(need)


# ------------------------------------------------------------------------------ what is needed


def run_needs(book: Book, run: Run, waste: Entry) -> Iterator[Need]:
    """Yield what one run of cable or raceway takes.

    Parameters
    ----------
    waste : Entry
        Extra length bought for cuts and mistakes. [%]

    Rule
    ----
    free_length_at_box, panel_make_up_length, raceway_stick, bushing_conductor
    """
    at = f"run.{run.number}"
    if run.method in CABLES:
        yield from _cable_needs(book, at, run, waste)
    else:
        yield from _raceway_needs(book, at, run, waste)
    cite = book.cite("material_from_route")
    plates = total(f"{at}.plates", cite, "n", list(run.plates))
    if decimal_of(plates):
        yield Need("steel-plate", "steel-plate", plates)
    if run.buried_length is not None:
        tape = computed(f"{at}.warning_tape", "L * (1 + w)", cite, L=run.buried_length, w=waste)
        yield Need("warning-tape", "warning-tape", tape)


def conductor_length(book: Book, at: str, run: Run, waste: Entry) -> Entry:
    """Return the length of cable, or of each conductor, of a pull [ft].

    The way from box to box, the free length at both ends (more where it is made up in the
    panel), and waste.
    """
    lengths = {
        f"L{number}": length for number, length in enumerate(run.pull_lengths or run.lengths, 1)
    }
    ends = {
        "s1": book.figure("panel_make_up_length" if run.from_panel else "box_make_up_length"),
        "s2": book.figure("box_make_up_length"),
    }
    formula = f"({' + '.join((*lengths, *ends))}) * (1 + w)"
    cite = book.cite("panel_make_up_length")
    return computed(f"{at}.conductor_length", formula, cite, **lengths, **ends, w=waste)


def box_needs(book: Book, box: Fitting) -> Iterator[Need]:
    """Yield one box with its ring, cover, bonding screw and wire connectors."""
    at = f"fitting.{box.number}"
    cite = book.cite("material_from_route")
    one = computed(f"{at}.boxes", "1", cite)
    if box.switch is not None:
        yield Need(box.key, box.key, one, (box.switch,))
        yield Need("mounting-screw", "mounting-screw", book.figure("screws_per_box"))
        return
    yield Need(box.key, f"{'metal' if box.metal else 'nonmetallic'}-box", one)
    if box.ring:
        yield Need("device-ring", "device-ring", computed(f"{at}.rings", "1", cite))
    yield Need(box.cover, "cover", computed(f"{at}.covers", "1", cite))
    yield Need("mounting-screw", "mounting-screw", book.figure("screws_per_box"))
    if box.metal:
        bond = computed(f"{at}.bonding_screws", "1", book.cite("metal_box_bonding"))
        yield Need("box-bonding-screw", "box-bonding-screw", bond)
        ends = "2" if box.device else "1"
        pigtail = computed(f"{at}.pigtails", ends, book.cite("metal_box_bonding"))
        yield Need("grounding-pigtail", "grounding-pigtail", pigtail)
    if box.metal and not box.splices:
        joined = computed(f"{at}.ground_connectors", "1", book.cite("metal_box_bonding"))
        yield Need("ground-connector", "ground-connector", joined)
    if box.splices:
        spliced = quantity(box.conductors)
        connectors = chosen(f"{at}.wire_connectors", spliced, cite, boxes=one)
        large = box.size is not None and box.size.value >= book.figure("pull_box_conductor").value
        kind = "splicing-block" if large else "wire-connector"
        yield Need(kind, kind, connectors, (box.size,) if box.size else ())


def end_needs(
    book: Book,
    configuration: Entry | None,
    rating: Entry,
    device: str,
    firestop: Entry | None = None,
    outlet: Entry | None = None,
    *,
    closes_wall: bool = False,
) -> Iterator[Need]:
    """Yield what the ends of the circuit and the closing up take, from breaker to sealant.

    Parameters
    ----------
    configuration : Entry, optional
        NEMA configuration of the receptacle; None for equipment that is wired in.
    rating : Entry
        Of the overcurrent device. [A]
    device : str
        ``standard`` or ``gfci``.
    firestop : Entry, optional
        Holes through fire-separating walls and ceilings.
    outlet : Entry, optional
        Rating of the receptacle; left out, that of the overcurrent device. [A]
    closes_wall : bool
        Whether a finished wall was opened for the route.
    """
    cite = book.cite("material_from_route")
    amperes = f"{magnitude(rating.value, 'A').normalize():f}"
    breaker = computed("ends.breakers", "1", cite)
    yield Need(f"{amperes}-2-pole-{device}-breaker", f"{device}-breaker", breaker, (rating,))
    if configuration is not None:
        receptacle = computed("ends.receptacles", "1", cite)
        facts = (configuration, outlet or rating)
        yield Need(f"{configuration.value}-receptacle", "receptacle", receptacle, facts)
    yield Need("circuit-label", "circuit-label", book.figure("labels_per_circuit"))
    plug = computed("ends.knockout_plugs", "1", book.cite("unused_openings_closed"))
    yield Need("knockout-plug", "knockout-plug", plug)
    if closes_wall:
        yield Need("wall-repair", "wall-repair", computed("ends.wall_repairs", "1", cite))
    if firestop is not None and decimal_of(firestop):
        each = book.figure("holes_per_tube")
        tubes = computed("ends.sealant_tubes", "round_up(n / k)", each.cite, n=firestop, k=each)
        yield Need("firestop-sealant", "firestop-sealant", tubes)


# ------------------------------------------------------------------------------ what to buy


def bill_of_materials(
    book: Book,
    needs: Sequence[Need],
    offers: Mapping[str, Offer],
    tax_rate: Entry | None,
) -> Bill:
    """Put like needs together, choose what to buy for them, and price it.

    Parameters
    ----------
    offers : mapping of material key to Offer
        Materials without an offer stand on the list without a price.
    tax_rate : Entry, optional
        [%]
    """
    gathered = _Gathered()
    for need in needs:
        gathered.add(need)
    lines = tuple(
        material_line(book, number, parts, offers.get(key, Offer()))
        for number, (key, parts) in enumerate(gathered.parts.items(), 1)
    )
    cite = book.cite("price_arithmetic")
    costs = [line.cost for line in lines if line.cost is not None]
    subtotal = total("bill.subtotal", cite, "c", costs)
    complete = len(costs) == len(lines)
    if tax_rate is None:
        return Bill(lines, subtotal, None, computed("bill.total", "c", cite, c=subtotal), complete)
    tax = computed("bill.tax", "c * t", cite, c=subtotal, t=tax_rate)
    whole = computed("bill.total", "c + t", cite, c=subtotal, t=tax)
    return Bill(lines, subtotal, tax, whole, complete)


def material_line(book: Book, number: int, parts: Sequence[Need], offer: Offer) -> MaterialLine:
    """Return one line of the list: needs of one material, and what to buy for them."""
    first = parts[0]
    cite = book.cite("material_from_route")
    at = f"material.{number}"
    by_length = first.needed.value.check("[length]")
    pieces: tuple[tuple[Entry, Entry], ...] = ()
    if by_length:
        needed = total(f"{at}.length_needed", cite, "n", [part.needed for part in parts])
        pulls = [magnitude(part.needed.value, "ft") for part in parts]
        bought, pieces = _bought_length(book, at, needed, pulls, offer)
    else:
        needed = total(f"{at}.count_needed", cite, "n", [part.needed for part in parts])
        bought = _bought_count(book, at, needed, offer)
    cost = None
    if offer.price is not None:
        cost = _cost(book, at, bought, pieces, offer, offer.price)
    return MaterialLine(
        number,
        first.id,
        first.kind,
        needed,
        bought,
        offer.price,
        cost,
        offer.lead_time,
        offer.shop,
        pieces,
        first.facts,
    )


def whole_pieces(pulls: Sequence[Decimal], stock: Sequence[Decimal]) -> tuple[int, ...] | None:
    """Return how many of each stock length to buy so that every pull is one unbroken piece.

    The longest pull first, each out of the shortest left-over that holds it, else out of
    the shortest stock length that does. A splice inside a wall is never bought.

    Parameters
    ----------
    pulls, stock : sequence of Decimal
        Feet; each above zero.

    Returns
    -------
    tuple of int or None
        One count for each stock length; None where a pull is longer than any of them.
    """
    counts = [0] * len(stock)
    left: list[Decimal] = []
    for pull in sorted(pulls, reverse=True):
        over = min((length for length in left if length >= pull), default=None)
        if over is None:
            over = min((length for length in stock if length >= pull), default=None)
            if over is None:
                return None
            counts[list(stock).index(over)] += 1
        else:
            left.remove(over)
        left.append(over - pull)
    return tuple(counts)


# ------------------------------------------------------------------------------ hours


def work_hours(book: Book, cable: Entry, raceway: Entry, trench: Entry, boxes: Entry) -> Entry:
    """Return the usual hours of the whole job for one trained person [h].

    Parameters
    ----------
    cable, raceway, trench : Entry
        Lengths of each; zero where there is none. [ft]
    boxes : Entry
        Boxes with their device or splice.

    Rule
    ----
    hours_panel, hours_per_box, hours_tests, hours_cable_stretch, hours_raceway_stretch,
    hours_trench_stretch, hours_stretch
    """
    return computed(
        "work_hours",
        "h_p + h_t + n * h_b + (C * h_c + R * h_r + T * h_g) / s",
        book.cite("hours_panel"),
        h_p=book.figure("hours_panel"),
        h_t=book.figure("hours_tests"),
        n=boxes,
        h_b=book.figure("hours_per_box"),
        C=cable,
        h_c=book.figure("hours_cable_stretch"),
        R=raceway,
        h_r=book.figure("hours_raceway_stretch"),
        T=trench,
        h_g=book.figure("hours_trench_stretch"),
        s=book.figure("hours_stretch"),
    )


def own_hours(book: Book, hours: Entry, factor: Entry, name: str = "own_hours") -> Entry:
    """Return the hours at one's own pace [h]."""
    return computed(name, "h * f", book.cite("hours_panel"), h=hours, f=factor)


# ------------------------------------------------------------------------------ parts


def size_key(value: Any) -> str:
    """Return a conductor or trade size as part of a material key."""
    text = value.name if isinstance(value, ConductorSize | TradeSize) else str(value)
    return text.removesuffix(" AWG").replace("/", "-").replace(" ", "-")


def _cable_needs(book: Book, at: str, run: Run, waste: Entry) -> Iterator[Need]:
    cite = book.cite("material_from_route")
    method = run.method.lower()
    insulated = run.hots + int(run.neutral)
    key = f"{method}-{size_key(run.size.value)}-{insulated}"
    length = conductor_length(book, at, run, waste)
    inside = chosen(f"{at}.insulated_conductors", quantity(insulated), cite, size=run.size)
    marked = book.figure("wire_voltage_marking")
    facts = (run.size, inside, run.grounding, marked)
    yield Need(f"{key}{_metal(run)}-cable", f"{method}-cable", length, facts)
    yield Need(
        f"{key}-connector", "cable-connector", computed(f"{at}.connectors", "2", cite), (run.size,)
    )
    if run.supports:
        staples = total(f"{at}.supports", cite, "n", list(run.supports))
        yield Need(f"{key}-staple", "cable-staple", staples, (run.size,))


def _raceway_needs(book: Book, at: str, run: Run, waste: Entry) -> Iterator[Need]:
    if run.trade_size is None:
        raise ValueError(f"{at} is a raceway without a trade size")
    cite = book.cite("material_from_route")
    key = f"{run.method.lower()}-{size_key(run.trade_size.value)}"
    facts = (chosen(f"{at}.method", run.method, cite), run.trade_size)
    yield from _raceway_lengths(book, at, run, waste, key, facts)
    bodies = run.conduit_bodies or computed(f"{at}.no_bodies", "0", cite)
    boxes = chosen(f"{at}.box_ends", quantity(2 - run.joined_before - run.joined_after), cite)
    ends = computed(f"{at}.connectors", "e + 2 * b", cite, e=boxes, b=bodies)
    if run.method in GLUED:
        ends = computed(f"{at}.connectors", "e", cite, e=boxes)
    if decimal_of(ends):
        yield Need(f"{key}-connector", _connector(run.method), ends, facts)
    locknuts = computed(f"{at}.locknuts", "e", cite, e=boxes)
    if decimal_of(locknuts):
        yield Need(f"{size_key(run.trade_size.value)}-locknut", "locknut", locknuts, facts)
    needs_bushing = (
        run.method in THREADED or run.size.value >= book.figure("bushing_conductor").value
    )
    if decimal_of(boxes) and needs_bushing:
        bushings = computed(f"{at}.bushings", "e", book.cite("bushing_conductor"), e=boxes)
        yield Need(f"{size_key(run.trade_size.value)}-bushing", "bushing", bushings, facts)
    if run.conduit_bodies is not None and decimal_of(run.conduit_bodies):
        yield Need(f"{key}-conduit-body", "conduit-body", run.conduit_bodies, facts)
    if run.elbows is not None and decimal_of(run.elbows) and run.method not in COILED:
        yield Need(f"{key}-elbow", "elbow", run.elbows, facts)
    if run.expansion_fittings is not None and decimal_of(run.expansion_fittings):
        yield Need(f"{key}-expansion-fitting", "expansion-fitting", run.expansion_fittings, facts)
    straps = total(f"{at}.supports", cite, "n", list(run.supports))
    if decimal_of(straps):
        yield Need(f"{key}-strap", "raceway-strap", straps, facts)
        yield Need("mounting-screw", "mounting-screw", straps)
    if run.method in GLUED:
        yield Need("solvent-cement", "solvent-cement", computed(f"{at}.cement", "1", cite))
    if not (run.joined_before or run.pulled_through):
        yield from _single_conductors(book, at, run, waste)


def _connector(method: str) -> str:
    if method in LIQUIDTIGHT:
        return "liquidtight-connector"
    return "raceway-connector" if method in TUBING else "fitted-connector"


def _raceway_lengths(
    book: Book, at: str, run: Run, waste: Entry, key: str, facts: tuple[Entry, ...]
) -> Iterator[Need]:
    cite = book.cite("raceway_stick")
    length = total(f"{at}.raceway_length", cite, "L", list(run.lengths))
    if run.method in COILED:
        coil = computed(f"{at}.coil_length", "L * (1 + w)", cite, L=length, w=waste)
        yield Need(f"{key}-coil", "flexible-raceway", coil, facts)
        return
    stick = book.figure("raceway_stick")
    sticks = computed(f"{at}.sticks", "round_up(L * (1 + w) / s)", cite, L=length, w=waste, s=stick)
    yield Need(f"{key}-stick", "raceway-stick", sticks, (*facts, stick))
    elbows = run.elbows or computed(f"{at}.no_elbows", "0", cite)
    joint = chosen(f"{at}.joints", quantity(int(run.joined_after)), cite)
    couplings = computed(f"{at}.couplings", "n - 1 + e + j", cite, n=sticks, e=elbows, j=joint)
    if decimal_of(couplings):
        kind = "coupling" if run.method in TUBING else "fitted-coupling"
        yield Need(f"{key}-coupling", kind, couplings, facts)


def _single_conductors(book: Book, at: str, run: Run, waste: Entry) -> Iterator[Need]:
    insulation = run.insulation.split("/")[0].lower()
    length = conductor_length(book, at, run, waste)
    marked = book.figure("wire_voltage_marking")
    colors = ["black", "red"][: run.hots] + (["white"] if run.neutral else [])
    for color in colors:
        key = f"{size_key(run.size.value)}-{insulation}-{color}{_metal(run)}-wire"
        yield Need(key, f"{color}-wire", length, (run.size, marked))
    key = f"{size_key(run.grounding.value)}-{insulation}-green{_metal(run)}-wire"
    yield Need(key, "green-wire", length, (run.grounding, marked))


def _metal(run: Run) -> str:
    return "" if run.material == "copper" else f"-{run.material}"


def _bought_length(
    book: Book, at: str, needed: Entry, pulls: Sequence[Decimal], offer: Offer
) -> tuple[Entry, tuple[tuple[Entry, Entry], ...]]:
    cite = book.cite("price_arithmetic")
    name = f"{at}.length_bought"
    feet = [magnitude(length.value, "ft") for length in offer.stock]
    counts = whole_pieces(pulls, feet)
    if counts is None:  # cut to length from the reel
        foot = book.figure("one_foot")
        return computed(name, "round_up(L / f) * f", cite, L=needed, f=foot), ()
    pieces = tuple(
        (
            chosen(f"{at}.pieces.{number}.count", quantity(count), cite, L=needed, length=length),
            length,
        )
        for number, (count, length) in enumerate(zip(counts, offer.stock, strict=True), 1)
        if count
    )
    inputs: dict[str, Entry] = {}
    for number, (count_of, length) in enumerate(pieces, 1):
        inputs |= {f"n{number}": count_of, f"l{number}": length}
    formula = " + ".join(f"n{number} * l{number}" for number in range(1, len(pieces) + 1))
    return computed(name, formula, cite, **inputs), pieces


def _bought_count(book: Book, at: str, needed: Entry, offer: Offer) -> Entry:
    cite = book.cite("price_arithmetic")
    if offer.pack is None:
        return computed(f"{at}.count_bought", "round_up(n)", cite, n=needed)
    return computed(f"{at}.packs_bought", "round_up(n / p)", cite, n=needed, p=offer.pack)


def _cost(
    book: Book,
    at: str,
    bought: Entry,
    pieces: tuple[tuple[Entry, Entry], ...],
    offer: Offer,
    price: Entry,
) -> Entry | None:
    """Return the price of what is bought.

    None where a price by the piece fits no one length, or a price by the foot no count.
    """
    cite = book.cite("price_arithmetic")
    by_piece = bool(price.value.check("[currency]"))
    by_length = bool(bought.value.check("[length]"))
    if not by_piece and not by_length:
        return None
    if by_piece and by_length and (len(offer.stock) != 1 or not pieces):
        return None
    count = pieces[0][0] if by_piece and by_length else bought
    return computed(f"{at}.cost", "n * c", cite, n=count, c=price)
