"""The load of an existing dwelling from its measured demand."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, compare, computed
from packet.rules.load.dwelling import (
    CHARGER,
    DwellingLoads,
    Line,
    MeasuredDemand,
    Readings,
    Supply,
    Worksheet,
    close,
    finished,
    managed,
)

METHOD = "measured"


def measured_worksheet(
    book: Book, loads: DwellingLoads, supply: Supply, readings: Readings
) -> Worksheet | None:
    """Return the measured-demand calculation, None without a measured demand.

    Whether the record is good enough is another question: `measured_demand_counts`.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
        The loads that this work adds count at nameplate.
    supply : Supply
    readings : Readings

    Returns
    -------
    Worksheet or None
        In VA and A.

    Rule
    ----
    measured_demand_factor
    """
    if loads.measured is None:
        return None
    cite = book.cite("measured_demand_factor")
    peak = _peak(book, loads.measured, supply)
    grown = computed(
        "load.measured.demand",
        "k * P",
        cite,
        k=book.figure("measured_demand_factor"),
        P=peak,
    )
    new = [(one, managed(book, one, supply, one.connected(book))) for one in loads.loads if one.new]
    parts = [grown, *(entry for _, entry in new)]
    chargers = [(load, entry) for load, entry in new if load.kind == CHARGER]
    charging = [entry for _, entry in chargers]
    foot = close(book, METHOD, supply, parts, cite, charging, readings)
    lines = (
        Line(peak),
        Line(grown, subtotal=True),
        *(Line(entry, name=load.name) for load, entry in new),
        Line(foot.total, subtotal=True),
    )
    return finished(book, METHOD, supply, lines, foot, chargers)


def _peak(book: Book, measured: MeasuredDemand, supply: Supply) -> Entry:
    name, cite = "load.measured.peak", book.cite("measured_demand_factor")
    if measured.peak.value.check("[current]"):
        return computed(name, "I * V", cite, I=measured.peak, V=supply.voltage)
    return computed(name, "P", cite, P=measured.peak)


def measured_demand_counts(
    book: Book, measured: MeasuredDemand, readings: Readings
) -> tuple[Check, ...]:
    """Judge whether the record of the demand may carry a load calculation.

    A year of the utility's data, or a recording of thirty days; each value averaged
    over a quarter of an hour; nothing that hides demand (solar, wind, peak shaving). A
    recording must have seen the house lived in, with its larger season in it.

    Parameters
    ----------
    book : Book
    measured : MeasuredDemand
    readings : Readings

    Returns
    -------
    tuple of Check
        ``measured_record_is_long_enough``, ``measured_record_is_fine_enough``,
        ``measured_record_has_no_other_source``; for a recording also
        ``measured_record_holds_season`` and ``measured_record_was_lived_in``.
    """
    recorded = measured.record == "recording"
    days = book.figure("recording_least_days" if recorded else "utility_record_least_days")
    length = compare(
        "measured_record_is_long_enough", measured.days, ">=", days, days.cite, remedy=days
    )
    interval = book.figure("measured_longest_interval")
    fine = compare(
        "measured_record_is_fine_enough",
        measured.interval,
        "<=",
        interval,
        interval.cite,
        otherwise=Verdict.ASK,
    )
    checks = [length, fine, _no_other_source(book, measured, readings)]
    if recorded:
        cite = (book.cite("recording_conditions"),)
        checks.append(
            Check("measured_record_holds_season", _verdict(measured.seasonal_load_included), cite)
        )
        checks.append(Check("measured_record_was_lived_in", _verdict(measured.occupied), cite))
    return tuple(checks)


def _no_other_source(book: Book, measured: MeasuredDemand, readings: Readings) -> Check:
    cite = (book.cite("measured_not_with_other_source"),)
    barred = measured.record == "recording" or readings.solar_bars_year_record
    other = measured.solar_or_peak_shaving
    verdict = _verdict(None if other is None else not other)
    if not barred and verdict is not Verdict.MEETS:
        verdict = Verdict.NOTE
    return Check("measured_record_has_no_other_source", verdict, cite)


def _verdict(holds: bool | None) -> Verdict:
    if holds is None:
        return Verdict.ASK
    return Verdict.MEETS if holds else Verdict.FALLS_SHORT
