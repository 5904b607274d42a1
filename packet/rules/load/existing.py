"""The load calculation of an existing dwelling that gets one more load."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Entry, computed, total
from packet.rules.load.dwelling import (
    COMFORT,
    COOLING,
    HEATING,
    DwellingLoads,
    Line,
    Readings,
    Supply,
    Worksheet,
    close,
    disputed,
    finished,
    general_lines,
    managed_chargers,
    neither_comfort_nor_charger,
    total_of_other_reading,
)
from packet.rules.load.optional import pool_of

METHOD = "existing"


def existing_worksheet(
    book: Book,
    loads: DwellingLoads,
    supply: Supply,
    readings: Readings,
    *,
    doubtful: bool = True,
) -> Worksheet | None:
    """Return the existing-dwelling calculation, None where the edition's shares are not known.

    New heating or cooling counts in full. For heating and cooling that is there already,
    and for vehicle chargers, readers differ: `readings` says which side is taken.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
    supply : Supply
    readings : Readings
    doubtful : bool
        Whether a space that nobody has judged adaptable is counted.

    Returns
    -------
    Worksheet or None
        In VA and A.

    Rule
    ----
    existing_method, existing_method_with_new_heating_or_cooling
    """
    if not (book.knows("existing_first") and book.knows("existing_rest")):
        return None
    comfort = loads.of(*COMFORT)
    adds_comfort = any(one.new for one in comfort)
    cite = book.cite(
        "existing_method_with_new_heating_or_cooling" if adds_comfort else "existing_method"
    )
    comfort_pooled = readings.existing_heating_and_cooling == "pool" and not adds_comfort
    charger_pooled = readings.charger == "pool"
    head = general_lines(book, loads, doubtful=doubtful)
    chargers = managed_chargers(book, loads, supply)
    other_lines = neither_comfort_nor_charger(book, loads)
    charger_lines = [Line(entry, name=load.name) for load, entry in chargers]
    comfort_lines = [Line(one.connected(book), name=one.name) for one in comfort]
    in_pool = [
        *head,
        *other_lines,
        *(charger_lines if charger_pooled else ()),
        *(comfort_lines if comfort_pooled else ()),
    ]
    pool = pool_of(book, METHOD, [line.entry for line in in_pool], cite)
    larger = _larger(book, loads) if comfort else None
    charging = [entry for _, entry in chargers]
    full = [] if charger_pooled else [*charging]
    full += [larger] if larger is not None and not comfort_pooled else []
    foot = close(book, METHOD, supply, [pool.demand, *full], cite, charging, readings)
    lines = (
        *in_pool,
        Line(pool.load, subtotal=True),
        Line(pool.demand, subtotal=True),
        *(() if comfort_pooled else comfort_lines),
        *(() if comfort_pooled or larger is None else (Line(larger, subtotal=True),)),
        *(() if charger_pooled else charger_lines),
        Line(foot.total, subtotal=True),
    )
    points = []
    if chargers:
        other = total_of_other_reading(
            METHOD, "charger", cite, pool, foot.total, charging, pooled=charger_pooled
        )
        points.append(
            disputed(book, METHOD, "charger", readings.charger, supply, other, charging, readings)
        )
    if larger is not None and not adds_comfort:
        side = readings.existing_heating_and_cooling
        at_nameplate = [line.entry for line in comfort_lines]
        other = total_of_other_reading(
            METHOD,
            "comfort",
            cite,
            pool,
            foot.total,
            at_nameplate,
            pooled=comfort_pooled,
            full=larger,
        )
        points.append(disputed(book, METHOD, "comfort", side, supply, other, charging, readings))
    used = pool if charger_pooled else None
    return finished(book, METHOD, supply, lines, foot, chargers, points, pool=used)


def _larger(book: Book, loads: DwellingLoads) -> Entry:
    """Return the larger of all cooling and all heating, at nameplate."""
    cite = book.cite("existing_method_with_new_heating_or_cooling")
    cooling = [one.connected(book) for one in loads.of(*COOLING)]
    heating = [one.connected(book) for one in loads.of(*HEATING)]
    name = "load.existing.comfort"
    if not (cooling and heating):
        return total(name, cite, "S", cooling or heating)
    return computed(
        name,
        "larger(H, K)",
        cite,
        H=total("load.existing.heating", cite, "S", heating),
        K=total("load.existing.cooling", cite, "S", cooling),
    )
