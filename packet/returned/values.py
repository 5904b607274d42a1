"""What a person writes into a blank, read as a value: 240 V, 239,8, OL, > 20 MΩ, 5.1 N·m."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from packet.quantities import quantity

Beyond = Literal["", "above", "below"]


class Unfit(Exception):
    """The text is no such value; `str` is the key of why: number, thousands, unit or range."""


@dataclass(frozen=True)
class Measured:
    """A value as it was written.

    Parameters
    ----------
    value : Quantity, optional
        None where the meter showed only that it is above its range.
    step : Quantity, optional
        Its last digit, as a value.
    beyond : str
        ``above`` or ``below`` where no more is known than that it is beyond `value`.
    has_unit : bool
        Whether a unit was written.
    """

    value: Any
    step: Any
    beyond: Beyond = ""
    has_unit: bool = True


NOT_TAKEN = frozenset({"n/a", "na", "n.a.", "not taken"})
"""What is written where a reading cannot be taken."""

_OVER_RANGE = frozenset({"ol", "o.l", "o.l.", "0l", "0.l", "0.l.", "open", "∞", "infinite", "inf"})
_OF = {
    "V": {"v": "V", "volt": "V", "volts": "V", "vac": "V", "vrms": "V", "voltsac": "V"},
    "A": {"a": "A", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A"},
    "Ω": {"ω": "Ω", "ohm": "Ω", "ohms": "Ω", "": "Ω"},
    "lbf_in": {
        **dict.fromkeys(("lbfin", "lbin", "lbsin", "inlb", "inlbs", "inlbf"), "lbf_in"),
        **dict.fromkeys(("lbfft", "lbft", "lbsft", "ftlb", "ftlbs", "ftlbf"), "lbf_ft"),
        **dict.fromkeys(("nm", "newtonmeter", "newtonmeters"), "N_m"),
    },
}
"""Kind of a blank -> spelling in small letters -> unit."""

_PREFIXES = {
    "m": "0.001",
    "milli": "0.001",
    "k": "1000",
    "K": "1000",
    "kilo": "1000",
    "M": "1000000",
    "meg": "1000000",
    "mega": "1000000",
    "G": "1000000000",
    "giga": "1000000000",
}
"""What may stand before a unit that has no multiples of its own here; m and M are not alike."""

_SIGNS = str.maketrans({"−": "-", "–": "-", "≥": ">", "≤": "<"})
_VALUE = re.compile(
    r"(?P<sign>[<>]?)=?\s*(?P<number>-?[0-9]*[.,]?[0-9]+|-?[0-9]+[.,]?)\s*(?P<unit>.*)"
)


def measured(text: str, unit: str) -> Measured:
    """Return a reading or a setting as it was written.

    Parameters
    ----------
    text : str
        With or without a unit; a comma may stand for the decimal point.
    unit : str
        Unit printed in the blank, which a bare number is in: ``V``, ``A``, ``Ω``, ``MΩ`` or
        ``lbf_in``.

    Raises
    ------
    Unfit
        When it is no such value, or may mean two.
    """
    plain = unicodedata.normalize("NFKC", text).translate(_SIGNS).strip()
    ohms = unit in ("Ω", "MΩ")
    if plain.lower().replace(" ", "") in _OVER_RANGE:
        if not ohms:
            raise Unfit("range")
        return Measured(None, None, "above")
    match = _VALUE.fullmatch(plain)
    if match is None:
        raise Unfit("number")
    number = match["number"]
    if re.fullmatch(r"-?[1-9][0-9]{0,2},[0-9]{3}", number):
        raise Unfit("thousands")
    number = number.replace(",", ".")
    spelled = match["unit"].strip()
    factor, name = _unit(spelled, unit) if spelled else (Decimal(1), unit)
    exact = Decimal(number)
    step = Decimal(1).scaleb(min(0, int(exact.as_tuple().exponent)))
    sign = match["sign"]
    beyond: Beyond = "above" if sign == ">" else "below" if sign == "<" else ""
    return Measured(
        quantity(exact * factor, name), quantity(step * factor, name), beyond, bool(spelled)
    )


def _unit(spelled: str, unit: str) -> tuple[Decimal, str]:
    """Return a unit as it was spelled, as a factor and one of our units."""
    kind = "Ω" if unit == "MΩ" else unit
    known = _OF[kind]
    bare = re.sub(r"[\s.·⋅*_~-]|\b(AC|ac|rms)$", "", spelled)
    if bare.lower() in known:
        return Decimal(1), known[bare.lower()]
    if kind != "lbf_in":
        for prefix in sorted(_PREFIXES, key=len, reverse=True):
            start = bare[: len(prefix)]
            fits = prefix in (start, start.lower() if len(prefix) > 1 else start)
            if fits and bare[len(prefix) :].lower() in known:
                return Decimal(_PREFIXES[prefix]), known[bare[len(prefix) :].lower()]
    raise Unfit("unit")
