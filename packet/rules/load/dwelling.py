"""What a load calculation starts from, the lines every method shares, and its worksheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from packet import words
from packet.codebook import Book
from packet.ledger import Check, Citation, Entry, Verdict, chosen, compare, computed, total

COOKING = frozenset({"range", "wall oven", "cooktop"})
COOLING = frozenset({"air conditioning", "heat pump"})
HEATING = frozenset({"heat pump", "supplemental heat", "central heat", "room heater"})
COMFORT = COOLING | HEATING
MOTORS = frozenset({"motor", "disposer", "air conditioning", "heat pump"})
ALWAYS_FASTENED = frozenset({"water heater", "dishwasher", "disposer"})
MAY_BE_FASTENED = ALWAYS_FASTENED | {"microwave", "other appliance"}
NEVER_ON_NEUTRAL = COMFORT | {"vehicle charger", "water heater", "welder"}
CHARGER = "vehicle charger"
DRYER = "dryer"


@dataclass(frozen=True)
class Load:
    """One load of the dwelling, as its nameplate has it.

    Parameters
    ----------
    number : int
        Place in the list; it numbers the entries made from this load.
    kind : str
        What the load calculation calls it, for example ``range`` or ``heat pump``.
    name : Entry
        The load's own name, ``dwelling.load.n.name``.
    rating : Entry
        Of one such load [VA, W or A].
    count : Entry
        How many there are; for room heaters, how many are controlled on their own.
    volts : Entry, optional
        Needed where the rating is in amperes [V].
    fastened : bool, optional
        Whether it is fastened in place, where its kind does not tell.
    new : bool
        Whether this work adds it.
    """

    number: int
    kind: str
    name: Entry
    rating: Entry
    count: Entry
    volts: Entry | None = None
    fastened: bool | None = None
    new: bool = False

    def each(self, book: Book) -> Entry:
        """Return the volt-amperes of one [VA].

        Raises
        ------
        ValueError
            When a rating in amperes comes without a voltage.
        """
        name, cite = f"dwelling.load.{self.number}.each", book.cite("nameplate_load")
        if not self.rating.value.check("[current]"):
            return computed(name, "S", cite, S=self.rating)
        if self.volts is None:
            raise ValueError(f"load {self.number} is rated in amperes and has no voltage")
        return computed(name, "I * V", cite, I=self.rating, V=self.volts)

    def connected(self, book: Book) -> Entry:
        """Return the volt-amperes of all of them at nameplate [VA]."""
        return computed(
            f"dwelling.load.{self.number}.connected",
            "n * S",
            book.cite("nameplate_load"),
            n=self.count,
            S=self.each(book),
        )

    @property
    def is_fastened(self) -> bool:
        """Say whether it is an appliance fastened in place."""
        may = self.kind in MAY_BE_FASTENED
        return may and (self.kind in ALWAYS_FASTENED or bool(self.fastened))


@dataclass(frozen=True)
class Space:
    """A garage or an unfinished part of the house; `adaptable` to living space or not known."""

    area: Entry
    adaptable: bool | None


@dataclass(frozen=True)
class MeasuredDemand:
    """The highest demand measured at the service, and what is known of the record.

    `peak` is a current or a power [A or VA]; None answers an open question.
    """

    peak: Entry
    record: Literal["utility year", "recording"]
    days: Entry
    interval: Entry
    solar_or_peak_shaving: bool | None
    seasonal_load_included: bool | None = None
    occupied: bool | None = None


@dataclass(frozen=True)
class DwellingLoads:
    """Everything a load calculation asks of a dwelling, the new load among it."""

    floor_area: Entry
    small_appliance_circuits: Entry
    laundry_circuits: Entry
    loads: tuple[Load, ...]
    garage: Space | None = None
    unfinished: Space | None = None
    heating_and_cooling_together: bool | None = None
    supplemental_heat_with_compressor: bool | None = None
    measured: MeasuredDemand | None = None

    def of(self, *kinds: str) -> tuple[Load, ...]:
        """Return the loads of these kinds, in order."""
        return tuple(load for load in self.loads if load.kind in kinds)


@dataclass(frozen=True)
class Management:
    """An energy management system: the current it lets the new load draw [A], and what holds it.

    It counts only where it is listed, its setting is out of reach and it watches
    the supply all the time.
    """

    limit: Entry
    listed: bool | None
    access_restricted: bool | None
    monitors_supply: bool | None

    @property
    def counts(self) -> bool:
        """Say whether the limit may stand in for the nameplate."""
        return bool(self.listed and self.access_restricted and self.monitors_supply)


@dataclass(frozen=True)
class Supply:
    """The service or feeder that is asked to carry the load.

    Parameters
    ----------
    rating : Entry
        Of the service or of the feeder's overcurrent device [A].
    voltage : Entry
        Nominal, between the two hot conductors [V].
    carries_whole_dwelling : bool or None
        False for a feeder to a part of the house; None where nobody knows.
    existing : bool
        Whether the dwelling is already served by it.
    management : Management, optional
    """

    rating: Entry
    voltage: Entry
    carries_whole_dwelling: bool | None = True
    existing: bool = True
    management: Management | None = None


Place = Literal["full", "pool"]
"""Whether a load counts in full or among the loads that count at a reduced share."""


@dataclass(frozen=True)
class Readings:
    """Which side is taken where readers of the code differ; the defaults are the safe sides.

    Parameters
    ----------
    charger : ``full`` or ``pool``
        The vehicle charger in the optional and existing-dwelling methods.
    existing_heating_and_cooling : ``full`` or ``pool``
        Heating and cooling that is already there, in the existing-dwelling method.
    solar_bars_year_record : bool
        Whether solar or peak shaving bars a utility's year of data too, or the recording only.
    fastened_charger : ``full`` or ``pool``
        The vehicle charger in the standard method: apart, or one of the fastened appliances.
    continuous_share_added : bool
        Whether the supply is rated for the continuous share of vehicle charging on top.
    agreed : bool
        Whether the office has agreed to a side that is not the safe one.
    """

    charger: Place = "full"
    existing_heating_and_cooling: Place = "full"
    solar_bars_year_record: bool = True
    fastened_charger: Place = "full"
    continuous_share_added: bool = True
    agreed: bool = False


SAFE_SIDES = Readings()


@dataclass(frozen=True)
class Line:
    """One line of a worksheet; `name` is the load's own name, where the line is one load's."""

    entry: Entry
    subtotal: bool = False
    name: Entry | None = None


@dataclass(frozen=True)
class Pool:
    """Loads that count in full up to `first` and at the share `rest` above it."""

    load: Entry
    demand: Entry
    first: Entry
    rest: Entry


@dataclass(frozen=True)
class Disputed:
    """One point on which readers of the code differ, as a worksheet meets it.

    `taken` says which side the worksheet takes; `other_total` [VA] and `other_amperes` [A]
    are what the other side gives.
    """

    name: str
    taken: Entry
    other_total: Entry
    other_amperes: Entry


@dataclass(frozen=True)
class Result:
    """The foot of a worksheet: total [VA] and amperes as :class:`Worksheet` has them."""

    total: Entry
    amperes: Entry
    whole_amperes: Entry
    with_share: Entry | None
    check: Check


@dataclass(frozen=True)
class Worksheet:
    """One method, line by line.

    `amperes` is exact; `whole_amperes` is the figure as the code rounds it. `with_share` has
    the continuous share of vehicle charging on top, where it is added; the rating is held
    against `deciding`. `chargers` are all vehicle charging loads, `new_load` is the line of
    the load that this work adds; `pool` is given where that load stands in the pool.
    """

    method: str
    lines: tuple[Line, ...]
    total: Entry
    amperes: Entry
    whole_amperes: Entry
    check: Check
    with_share: Entry | None = None
    chargers: tuple[Entry, ...] = ()
    new_load: Entry | None = None
    least_new_load: Entry | None = None
    pool: Pool | None = None
    disputed: tuple[Disputed, ...] = ()

    @property
    def deciding(self) -> Entry:
        """The amperes that the rating must not be less than."""
        return self.with_share or self.amperes

    @property
    def carries(self) -> bool:
        """Say whether the supply carries the load by this method."""
        return self.deciding.value <= self.check.right.value if self.check.right else False


def nameplate_is_usual(book: Book, load: Load) -> Check | None:
    """Ask about a nameplate that appliances of its kind do not have: probably it is misread.

    Parameters
    ----------
    book : Book
    load : Load

    Returns
    -------
    Check or None
        ``dwelling.load.n.nameplate_is_usual``; None for kinds that have every rating.

    Rule
    ----
    usual_ratings
    """
    table, at = book.table("usual_ratings"), f"dwelling.load.{load.number}"
    for row in table.where(kind=load.kind):
        least = table.entry(f"{at}.usual_least", "least", row)
        most = table.entry(f"{at}.usual_most", "most", row)
        each = load.each(book)
        usual = least.value <= each.value <= most.value
        verdict = Verdict.MEETS if usual else Verdict.ASK
        facts = (least, most, load.name)
        return Check(f"{at}.nameplate_is_usual", verdict, (table.cite,), left=each, facts=facts)
    return None


def counted_area(book: Book, loads: DwellingLoads, *, doubtful: bool = True) -> Entry:
    """Return the floor area that lighting is reckoned on [ft2].

    A space that can be made into living space counts, a garage only in editions that
    say so; one that nobody has judged counts where `doubtful` says so.
    """
    areas = [loads.floor_area]
    if loads.unfinished and _counts(loads.unfinished, doubtful=doubtful):
        areas.append(loads.unfinished.area)
    if loads.garage and book.has("garage_counts_where_adaptable"):
        areas += [loads.garage.area] if _counts(loads.garage, doubtful=doubtful) else []
    return total("dwelling.counted_area", book.cite("floor_area"), "A", areas)


def _counts(space: Space, *, doubtful: bool) -> bool:
    return doubtful if space.adaptable is None else space.adaptable


def area_is_doubtful(book: Book, loads: DwellingLoads) -> bool:
    """Say whether nobody has judged a space that would count if adaptable."""
    spaces = [loads.unfinished]
    if book.has("garage_counts_where_adaptable"):
        spaces.append(loads.garage)
    return any(space is not None and space.adaptable is None for space in spaces)


def general_lines(
    book: Book, loads: DwellingLoads, *, doubtful: bool = True, whole: bool = True
) -> tuple[Line, ...]:
    """Return lighting, small-appliance and laundry loads, the head of each method but the measured.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
    doubtful : bool
        Whether a space that nobody has judged is counted.
    whole : bool
        Whether a whole dwelling is served, which has these circuits by rule; a feeder to
        a part of the house may serve none.

    Returns
    -------
    tuple of Line
        In VA.
    """
    lighting = computed(
        "dwelling.lighting_load",
        "u * A",
        book.cite("general_lighting_unit_load"),
        u=book.figure("general_lighting_unit_load"),
        A=counted_area(book, loads, doubtful=doubtful),
    )
    kitchen = _circuits(book, "small_appliance", loads.small_appliance_circuits, whole=whole)
    laundry = _circuits(book, "laundry", loads.laundry_circuits, whole=whole)
    return (Line(lighting), Line(kitchen), Line(laundry))


def _circuits(book: Book, use: str, count: Entry, *, whole: bool) -> Entry:
    name, figure = f"dwelling.{use}_load", f"{use}_circuit_load"
    least = {"n_least": book.figure(f"least_{use}_circuits")} if whole else {}
    formula = "s * larger(n, n_least)" if whole else "s * n"
    return computed(name, formula, book.cite(figure), s=book.figure(figure), n=count, **least)


def managed(book: Book, load: Load, supply: Supply, unmanaged: Entry) -> Entry:
    """Return what the new load adds: its own, or what energy management lets it draw [VA]."""
    if not (load.new and supply.management and supply.management.counts):
        return unmanaged
    return computed(
        f"{unmanaged.name}_managed",
        "smaller(S, I * V)",
        book.cite("energy_management"),
        S=unmanaged,
        I=supply.management.limit,
        V=supply.voltage,
    )


def managed_chargers(book: Book, loads: DwellingLoads, supply: Supply) -> list[tuple[Load, Entry]]:
    """Return each vehicle charger at its nameplate, the new one held to what is managed [VA]."""
    return [
        (one, managed(book, one, supply, _at_nameplate(book, one))) for one in loads.of(CHARGER)
    ]


def _at_nameplate(book: Book, charger: Load) -> Entry:
    """Return a charger's load by the pool methods, which have no least load for it [VA]."""
    return computed(
        f"dwelling.load.{charger.number}.charger_nameplate",
        "S",
        book.cite("charger_counts_at_nameplate"),
        S=charger.connected(book),
    )


def neither_comfort_nor_charger(book: Book, loads: DwellingLoads) -> list[Line]:
    """Return the lines of the loads that the pool methods always count among the rest [VA]."""
    return [
        Line(one.connected(book), name=one.name)
        for one in loads.loads
        if one.kind not in COMFORT | {CHARGER}
    ]


def new_of(chargers: list[tuple[Load, Entry]]) -> Entry | None:
    """Return the load of the charger that is new, None where none is [VA]."""
    return next((entry for load, entry in chargers if load.new), None)


def tiered(name: str, cite: Citation, load: Entry, first: Entry, rest: Entry) -> Entry:
    """Return `load` counted in full up to `first` and at the share `rest` above it [VA]."""
    if load.value <= first.value:
        return computed(name, "S", cite, S=load)
    return computed(name, "t + (S - t) * r", cite, t=first, S=load, r=rest)


def close(
    book: Book,
    method: str,
    supply: Supply,
    parts: list[Entry],
    cite: Citation,
    chargers: list[Entry],
    readings: Readings,
) -> Result:
    """Return total, amperes in every form, and the check against the supply.

    Parameters
    ----------
    book : Book
    method : str
    supply : Supply
    parts : list of Entry
        What the method adds up [VA].
    cite : Citation
        Of the method.
    chargers : list of Entry
        The vehicle charging loads among them, which are continuous [VA].
    readings : Readings
    """
    whole = total(f"load.{method}.total", cite, "S", parts)
    round_cite = book.cite("load_rounding")
    amperes = computed(f"load.{method}.current", "S / V", round_cite, S=whole, V=supply.voltage)
    shown = computed(
        f"load.{method}.whole_current",
        "round_half_up(S / V)",
        round_cite,
        S=whole,
        V=supply.voltage,
    )
    share = None
    if chargers and readings.continuous_share_added:
        share = with_continuous_share(
            book, f"load.{method}.current_with_continuous_share", supply, whole, chargers
        )
    check = compare(
        "service_carries_load",
        amperes,
        "<=",
        supply.rating,
        (book.cite("supply_carries_load"), cite),
        remedy=needed_rating(book, share or amperes),
    )
    return Result(whole, amperes, shown, share, check)


def with_continuous_share(
    book: Book, name: str, supply: Supply, whole: Entry, chargers: list[Entry]
) -> Entry:
    """Return the amperes of `whole` with the continuous share of the chargers on top [A]."""
    symbols = {f"E{number}": charger for number, charger in enumerate(chargers, 1)}
    return computed(
        name,
        f"(S + (k - 1) * ({' + '.join(symbols)})) / V",
        book.cite("continuous_share_of_service"),
        S=whole,
        k=book.figure("continuous_load_factor"),
        V=supply.voltage,
        **symbols,
    )


def needed_rating(book: Book, amperes: Entry) -> Entry | None:
    """Return the smallest standard rating that carries `amperes` [A], None beyond the table."""
    table = book.table("standard_ratings")
    for row in table.rows():
        if row["rating"] >= amperes.value:
            cell = table.entry("load.service_needed", "rating", row)
            return chosen("load.service_needed", cell.value, cell.cite, load=amperes)
    return None


def disputed(
    book: Book,
    method: str,
    dispute: str,
    side: str,
    supply: Supply,
    other_total: Entry,
    chargers: list[Entry],
    readings: Readings,
) -> Disputed:
    """Return one disputed point of a worksheet, with the amperes that the other side gives.

    Parameters
    ----------
    method, dispute : str
        They name the entries.
    side : str
        The side taken, as the glossary has it under ``load.reading``.
    other_total : Entry
        The method's total on the other side [VA].
    chargers : list of Entry
        Vehicle charging loads, whose continuous share is added where `readings` say so [VA].
    """
    stem = f"load.{method}.{dispute}"
    cite = other_total.cite
    taken = chosen(f"{stem}_reading", words.word(f"load.reading.{side}").label, cite)
    name = f"{stem}_other_current"
    if chargers and readings.continuous_share_added:
        amperes = with_continuous_share(book, name, supply, other_total, chargers)
    else:
        rounding = book.cite("load_rounding")
        amperes = computed(name, "S / V", rounding, S=other_total, V=supply.voltage)
    return Disputed(dispute, taken, other_total, amperes)


def disputed_share(
    book: Book, method: str, supply: Supply, foot: Result, chargers: list[Entry]
) -> Disputed:
    """Return the dispute whether the continuous share of vehicle charging comes on top."""
    cite = book.cite("continuous_share_of_service")
    stem = f"load.{method}.continuous_share"
    side = "without_share" if foot.with_share is None else "with_share"
    taken = chosen(f"{stem}_reading", words.word(f"load.reading.{side}").label, cite)
    name = f"{stem}_other_current"
    other = (
        with_continuous_share(book, name, supply, foot.total, chargers)
        if foot.with_share is None
        else computed(name, "S / V", book.cite("load_rounding"), S=foot.total, V=supply.voltage)
    )
    return Disputed("continuous_share", taken, foot.total, other)


def finished(
    book: Book,
    method: str,
    supply: Supply,
    lines: tuple[Line, ...],
    foot: Result,
    chargers: list[tuple[Load, Entry]],
    points: Sequence[Disputed] = (),
    *,
    least_new_load: Entry | None = None,
    pool: Pool | None = None,
) -> Worksheet:
    """Return the worksheet of any method; with vehicle charging, its share is one more dispute.

    Parameters
    ----------
    chargers : list of (Load, Entry)
        Each vehicle charging load with what the method counts for it. [VA]
    points : sequence of Disputed
        The disputes of this method.
    """
    charging = [entry for _, entry in chargers]
    share = [disputed_share(book, method, supply, foot, charging)] if chargers else []
    return Worksheet(
        method,
        lines,
        foot.total,
        foot.amperes,
        foot.whole_amperes,
        foot.check,
        foot.with_share,
        tuple(charging),
        new_of(chargers),
        least_new_load,
        pool,
        (*points, *share),
    )


def total_of_other_reading(
    method: str,
    dispute: str,
    cite: Citation,
    pool: Pool,
    whole: Entry,
    disputed: list[Entry],
    *,
    pooled: bool,
    full: Entry | None = None,
) -> Entry:
    """Return the total with the disputed loads on the other side [VA].

    Parameters
    ----------
    method, dispute : str
        They name the entry.
    cite : Citation
        Of the method.
    pool : Pool
        As the worksheet has it.
    whole : Entry
        The worksheet's total.
    disputed : list of Entry
        As they stand in the pool.
    pooled : bool
        Whether the worksheet has them in the pool.
    full : Entry, optional
        What counts in full on the other side, where that is not simply their sum.
    """
    name = f"load.{method}.{dispute}_other_total"
    moved = total(f"load.{method}.{dispute}_moved", cite, "S", disputed)
    outside = full if full is not None else moved
    sign = -1 if pooled else 1
    above = pool.load.value + sign * moved.value > pool.first.value
    changed = "P - S" if pooled else "P + S"
    demand = f"t + ({changed} - t) * r" if above else f"({changed})"
    inputs = {"W": whole, "D": pool.demand, "P": pool.load, "S": moved}
    inputs |= {"t": pool.first, "r": pool.rest} if above else {}
    formula = f"W - D + {demand} + F" if pooled else f"W - D - F + {demand}"
    return computed(name, formula, cite, F=outside, **inputs)
