"""Exact quantities, ordered trade sizes, and how each is written on a page.

The one Pint registry of the project lives here, with decimal magnitudes and our
own unit file. Text typed by a person is parsed by :func:`parse_quantity`, never
by Pint's parser.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal, InvalidOperation
from fractions import Fraction
from functools import cache, total_ordering
from importlib.resources import files
from typing import Any, Literal

from packet.pint_alone import without_companions

with without_companions():
    import pint

Toward = Literal["nearest", "up", "down"]
"""Which way a shown figure may be rounded: a requirement up, a capacity down."""

_registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(
    str(files("packet") / "units.txt"), non_int_type=Decimal
)
pint.set_application_registry(_registry)  # type: ignore[no-untyped-call]

Quantity = _registry.Quantity

NO_BREAK_SPACE = "\u00a0"
MINUS = "\u2212"

UNIT_LABELS: dict[str, str] = {
    "": "",
    "A": "A",
    "kA": "kA",
    "mA": "mA",
    "V": "V",
    "Ω": "Ω",
    "Ω/kft": "Ω/kft",
    "MΩ": "MΩ",
    "VA": "VA",
    "kVA": "kVA",
    "W": "W",
    "kW": "kW",
    "kWh": "kWh",
    "kWh/mi": "kWh/mi",
    "VA/ft**2": "VA/ft²",
    "ft": "ft",
    "ft/kft": "ft/kft",
    "mi": "mi",
    "in": "in",
    "m": "m",
    "cm": "cm",
    "mm": "mm",
    "ft**2": "ft²",
    "m**2": "m²",
    "in**2": "in²",
    "in**3": "in³",
    "gal": "gal",
    "cmil": "cmil",
    "lbf_in": "lbf·in",
    "lbf_ft": "lbf·ft",
    "N_m": "N·m",
    "degC": "°C",
    "each": "",
    "d": "days",
    "h": "h",
    "min": "min",
    "USD": "$",
    "USD/each": "$",
    "USD/ft": "$/ft",
    "deg": "°",
    "%": "%",
}
"""Every unit that may be printed: Pint expression -> label on paper."""

UNIT_SPELLINGS: dict[str, str] = {
    **{unit: unit for unit in UNIT_LABELS if unit},
    "ft2": "ft**2",
    "ft²": "ft**2",
    "sq ft": "ft**2",
    "m2": "m**2",
    "m²": "m**2",
    "in2": "in**2",
    "in3": "in**3",
    "in³": "in**3",
    "cu in": "in**3",
    "lbf·in": "lbf_in",
    "lbf-in": "lbf_in",
    "lb-in": "lbf_in",
    "in-lb": "lbf_in",
    "lbf·ft": "lbf_ft",
    "lbf-ft": "lbf_ft",
    "lb-ft": "lbf_ft",
    "ft-lb": "lbf_ft",
    "N·m": "N_m",
    "Nm": "N_m",
    "°C": "degC",
    "°F": "degF",
    "degF": "degF",
    "ohm": "Ω",
    "day": "d",
    "days": "d",
    "hours": "h",
    "hour": "h",
    "minutes": "min",
    "deg": "deg",
    "amps": "A",
    "volts": "V",
    "feet": "ft",
    "miles": "mi",
    "inches": "in",
}
"""Spellings a person may type -> Pint expression."""

_NUMBER_AND_UNIT = re.compile(r"(?P<number>-?[0-9]+(?:\.[0-9]+)?)\s*(?P<unit>[^\d\s].*)?")


def quantity(magnitude: Decimal | int | str, unit: str = "") -> Any:
    """Return `magnitude` with `unit` (a Pint expression) as an exact quantity."""
    return Quantity(Decimal(magnitude), _unit(unit))


@cache
def _unit(expression: str) -> Any:
    return _registry.Unit(expression)


def parse_quantity(text: str, allowed: tuple[str, ...]) -> Any:
    """Read `number unit` as a person types it.

    Parameters
    ----------
    text : str
        For example ``38 ft`` or ``9.6 kW``; a decimal point, no thousands comma.
    allowed : tuple of str
        Pint expressions of the units this field takes. ``degF`` is accepted
        where ``degC`` is allowed, and converted exactly.

    Returns
    -------
    Quantity
        In the unit that was typed (degrees Fahrenheit become degrees Celsius).

    Raises
    ------
    ValueError
        With one sentence for the reader: what is wrong with the text.
    """
    match = _NUMBER_AND_UNIT.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"`{text}` is not a number with a unit")
    number, spelling = Decimal(match["number"]), (match["unit"] or "").strip()
    if not spelling:
        if "" in allowed:
            return quantity(number)
        raise ValueError(f"`{text}` has no unit")
    unit = UNIT_SPELLINGS.get(spelling)
    if unit == "degF" and "degC" in allowed:
        return quantity((number - 32) * 5 / 9, "degC")
    if unit is None or unit not in allowed:
        raise ValueError(f"`{spelling}` is not a unit this value takes")
    return quantity(number, unit)


def magnitude(value: Any, unit: str) -> Decimal:
    """Return the decimal magnitude of a quantity in `unit`."""
    return Decimal(in_unit(value, unit).magnitude)


def in_unit(value: Any, unit: str) -> Any:
    """Return a quantity in `unit`; itself where that is its unit already."""
    wanted = _unit(unit)
    return value if value.units == wanted else value.to(wanted)


def round_shown(number: Decimal, places: int, toward: Toward = "nearest") -> Decimal:
    """Round once, for showing, and never toward danger.

    `up` and `down` are toward plus and minus infinity; `nearest` is half up.
    """
    mode = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}[toward]
    return number.quantize(Decimal(1).scaleb(-places), rounding=mode)


def show_number(
    number: Decimal, places: int, toward: Toward = "nearest", *, fixed: bool = False
) -> str:
    """Return the number as printed: thousands comma, true minus, no idle zeros.

    `fixed` keeps the zeros after the point (money, readings).
    """
    rounded = round_shown(number, places, toward)
    text = f"{rounded:,f}"
    if not fixed and "." in text:
        text = text.rstrip("0").rstrip(".")
    if rounded == 0:
        text = text.lstrip("-")
    return text.replace("-", MINUS)


def with_unit(number: str, unit: str) -> str:
    """Join a shown number and its unit label with a no-break space.

    Money puts its sign first and the sign of an angle stands close.
    """
    label = UNIT_LABELS[unit]
    if not label:
        return number
    if label == "$":
        return f"${NO_BREAK_SPACE}{number}"
    if label == "°":
        return f"{number}{label}"
    if label == "days" and number == "1":
        label = "day"
    return f"{number}{NO_BREAK_SPACE}{label}"


@total_ordering
@dataclass(frozen=True)
class ConductorSize:
    """A conductor size by its trade name; larger area compares greater.

    Names are ``14 AWG`` ... ``1 AWG``, ``1/0 AWG`` ... ``4/0 AWG``,
    ``250 kcmil`` and up. Sizes are names with an order, not numbers: no
    arithmetic is defined on them.
    """

    name: str

    def __post_init__(self) -> None:
        if _size_rank(self.name) is None:
            raise ValueError(f"`{self.name}` is not a conductor size")

    @classmethod
    def parse(cls, text: str) -> ConductorSize:
        """Read a size as typed: ``6``, ``6 AWG``, ``#6``, ``2/0``, ``250 kcmil``."""
        bare = text.strip().removeprefix("#").strip()
        if re.fullmatch(r"[0-9]{1,4}|[1-4]/0", bare):
            big = bare.isdigit() and int(bare) >= 250
            bare = f"{bare} {'kcmil' if big else 'AWG'}"
        return cls(bare)

    @property
    def rank(self) -> int:
        """Place in the order of sizes; a larger conductor has a larger rank."""
        return _size_rank(self.name) or 0

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, ConductorSize):
            return NotImplemented
        return self.rank < other.rank

    def __str__(self) -> str:
        return self.name.replace(" ", NO_BREAK_SPACE)


def _size_rank(name: str) -> int | None:
    number, _, system = name.partition(" ")
    whole = re.fullmatch(r"[0-9]{1,4}", number)
    if system == "kcmil" and whole and int(number) >= 250:
        return int(number)
    if system != "AWG":
        return None
    if re.fullmatch(r"[1-4]/0", number):
        return int(number[0])
    if whole and 1 <= int(number) <= 40:
        return -int(number)
    return None


SIZES_MADE = tuple(
    ConductorSize(f"{number} {system}")
    for system, numbers in (
        ("AWG", "24 22 20 18 16 14 12 10 8 6 4 3 2 1 1/0 2/0 3/0 4/0"),
        ("kcmil", "250 300 350 400 500 600 700 750 800 900 1000 1250 1500 1750 2000"),
    )
    for number in numbers.split()
)
"""Sizes in which wire is made, smallest first: NEC Chapter 9 Table 8, from memory; below its
18 AWG the even ones of the trade, common practice.
"""


@total_ordering
@dataclass(frozen=True)
class TradeSize:
    """A raceway or fitting size by its trade name, such as ``3/4`` or ``1-1/4``."""

    name: str

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[0-9]+(-[0-9]+/[0-9]+)?|[0-9]+/[0-9]+", self.name):
            raise ValueError(f"`{self.name}` is not a trade size")

    @classmethod
    def parse(cls, text: str) -> TradeSize:
        """Read a size as typed: ``3/4``, ``3/4 in``, ``1 1/4 in``, ``1-1/4``."""
        bare = re.sub(r"\s*(in|inch|inches|\")$", "", text.strip())
        return cls(re.sub(r"\s+", "-", bare))

    @property
    def inches(self) -> Fraction:
        """The nominal size, for ordering and for rules that multiply it."""
        whole, _, part = self.name.rpartition("-")
        return Fraction(whole or 0) + Fraction(part)

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, TradeSize):
            return NotImplemented
        return self.inches < other.inches

    def __str__(self) -> str:
        return f"{self.name}{NO_BREAK_SPACE}in"


def parse_decimal(text: str) -> Decimal:
    """Read a plain decimal number.

    Raises
    ------
    ValueError
        When the text is anything else (exponent, infinity, comma, words).
    """
    if not re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", text.strip()):
        raise ValueError(f"`{text}` is not a plain number")
    try:
        return Decimal(text.strip())
    except InvalidOperation as fault:  # pragma: no cover - the pattern admits no such text
        raise ValueError(f"`{text}` is not a plain number") from fault
