"""One value as typed, turned into what its key takes, or refused with what would do."""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from typing import Any, TypeVar

from packet.jobfile.schema import Key, signs
from packet.language import OwnWords
from packet.problems import typed
from packet.quantities import (
    SIZES_MADE,
    UNIT_SPELLINGS,
    ConductorSize,
    TradeSize,
    parse_decimal,
    parse_quantity,
    quantity,
)

T = TypeVar("T")

LONGEST_TEXT = 300

TYPED_UNITS = {
    "ft**2": "ft2",
    "m**2": "m2",
    "in**3": "in3",
    "lbf_in": "lbf-in",
    "lbf_ft": "lbf-ft",
    "N_m": "N·m",
    "d": "days",
}
"""Units whose own spelling nobody types."""


@dataclass
class Unfit(Exception):
    """A value that its key does not take: fault code, case of help, words to fill in.

    `sign` is the one sign that is at fault, where it is a single one.
    """

    code: str
    case: str = ""
    words: dict[str, str] = field(default_factory=dict)
    sign: str = ""


def value_of(key: Key, text: str) -> Any:
    """Return `text` as the type of `key`.

    Raises
    ------
    Unfit
        With the fault, where the text is no such value or beyond its sane range.
    """
    return _READERS[key.type](key, text)


def suggestion(text: str, known: list[str]) -> str:
    """Return the one of `known` that was probably meant, or nothing."""
    wanted = _folded(text)
    by_folded = {_folded(each): each for each in known}
    near = get_close_matches(wanted, by_folded, n=1, cutoff=0.6)
    return by_folded[near[0]] if near else ""


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Return the words in back-ticks, joined as in a sentence."""
    ticked = [f"`{word}`" for word in words]
    if len(ticked) < 2:
        return "".join(ticked)
    return f"{', '.join(ticked[:-1])} or {ticked[-1]}"


def units_of(key: Key) -> str:
    """Return the units that a key takes, as they are typed."""
    units = [TYPED_UNITS.get(unit, unit) for unit in key.units]
    if "degC" in units:
        units.append("degF")
    return listed(units)


def _folded(text: str) -> str:
    return re.sub(r"[\s-]+", "_", text.strip().lower())


def _text(_: Key, text: str) -> OwnWords:
    if len(text) > LONGEST_TEXT:
        raise Unfit("J030", words={"limit": str(LONGEST_TEXT)})
    strange = next((sign for sign in text if sign not in signs()), None)
    if strange is not None:
        words = {"sign": typed(strange), "point": f"U+{ord(strange):04X}"}
        raise Unfit("J031", words=words, sign=strange)
    return OwnWords(text)


def _yes_no(key: Key, text: str) -> bool:
    if text in ("yes", "no"):
        return text == "yes"
    known = ["yes", "no", "unknown"] if key.unknown else ["yes", "no"]
    meant = {"true": "yes", "on": "yes", "y": "yes", "false": "no", "off": "no", "n": "no"}
    near = meant.get(text.lower()) or suggestion(text, known)
    raise Unfit("J026", "near" if near else "other", {"choices": listed(known), "near": near})


def _choice(key: Key, text: str) -> str:
    if text in key.choices:
        return text
    known = [*key.choices, "unknown"] if key.unknown else list(key.choices)
    near = suggestion(text, known)
    raise Unfit("J027", "near" if near else "takes", {"choices": listed(known), "near": near})


def _date(key: Key, text: str) -> date:
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise Unfit("J025")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise Unfit("J025") from None
    return _sane(key, day, date.fromisoformat)


def _quantity(key: Key, text: str) -> Any:
    try:
        value = parse_quantity(text, key.units)
    except ValueError:
        raise _misread(key, text) from None
    return _sane(key, value, lambda limit: parse_quantity(limit, key.units))


def _count(key: Key, text: str) -> Any:
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise Unfit("J028")
    return _sane(key, quantity(text, "each"), lambda limit: quantity(limit, "each"))


def _number(key: Key, text: str) -> Any:
    try:
        value = quantity(parse_decimal(text))
    except ValueError:
        raise Unfit("J029") from None
    return _sane(key, value, quantity)


_IN_PARALLEL = re.compile(
    r"^\([0-9]+\)|^[0-9]+\s*(?:x|\u00d7|\*|sets?\b|runs?\b)|parallel|(?:/|per )(?:phase|leg)",
    re.IGNORECASE,
)


def _conductor(key: Key, text: str) -> ConductorSize:
    try:
        size = ConductorSize.parse(text)
    except ValueError:
        raise Unfit("J023", "parallel" if _IN_PARALLEL.search(text) else "form") from None
    _sane(key, size, ConductorSize.parse)
    if size not in SIZES_MADE:
        place = bisect(SIZES_MADE, size)
        beside = listed([one.name for one in SIZES_MADE[place - 1 : place + 1]])
        raise Unfit("J023", "made", {"choices": beside})
    return size


def _trade_size(key: Key, text: str) -> TradeSize:
    try:
        size = TradeSize.parse(text)
    except ValueError:
        raise Unfit("J024", words={"choices": listed(key.choices)}) from None
    if size.name not in key.choices:
        raise Unfit("J024", words={"choices": listed(key.choices)})
    return size


def _space(_: Key, text: str) -> int:
    if not re.fullmatch(r"[1-9][0-9]?", text):
        raise Unfit("J028")
    return int(text)


_READERS: dict[str, Callable[[Key, str], Any]] = {
    "text": _text,
    "yes/no": _yes_no,
    "choice": _choice,
    "choices": _choice,
    "date": _date,
    "quantity": _quantity,
    "quantities": _quantity,
    "count": _count,
    "number": _number,
    "conductor": _conductor,
    "trade size": _trade_size,
    "spaces": _space,
}


def _sane(key: Key, value: T, read: Callable[[str], Any]) -> T:
    """Return `value` where it is between the limits of `key` for its kind."""
    for low, high in zip(key.low, key.high, strict=True):
        least, most = read(low), read(high)
        if _same_kind(value, least) and not least <= value <= most:
            raise Unfit("J022", words={"low": low, "high": high})
    return value


def _same_kind(value: Any, limit: Any) -> bool:
    mine = getattr(value, "dimensionality", None)
    return bool(mine == getattr(limit, "dimensionality", None))


_NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"


def _misread(key: Key, text: str) -> Unfit:
    """Say why `text` is no quantity that `key` takes, and how it was probably meant."""
    units = {"units": units_of(key)}
    if re.fullmatch(_NUMBER, text):
        unit = key.example.lstrip("[").split(",")[0].split()[-1]
        return Unfit("J020", "unit", {"repaired": f"{text} {unit.rstrip(']')}", **units})
    for case, repaired in _repairs(text):
        if repaired != text and _reads(key, repaired):
            return Unfit("J020", case, {"repaired": repaired})
    match = re.fullmatch(rf"{_NUMBER}\s*([^0-9\s.,/-].*)", text)
    if match and (match[1] in UNIT_SPELLINGS or not re.search(r"[0-9]", match[1])):
        return Unfit("J021", words={"unit": typed(match[1]), **units})
    return Unfit("J020", "form")


def _repairs(text: str) -> Iterator[tuple[str, str]]:
    """Yield ways in which `text` was probably meant, the likeliest first."""
    yield "mark", re.sub(r"^\$\s*([0-9.]+)$", r"\1 USD", text)
    yield "mark", re.sub(r"\s*['\u2032\u2019]$", " ft", text)
    yield "mark", re.sub(r"\s*[\"\u2033\u201d]$", " in", text)
    yield "comma", re.sub(r"(?<=[0-9]),(?=[0-9]{3}\b)", "", text)
    yield "comma", text.replace(",", ".")
    yield "fraction", _without_fraction(text)


def _without_fraction(text: str) -> str:
    match = re.fullmatch(r"(?:([0-9]{1,4})[ -])?([0-9]{1,3})/([1-9][0-9]{0,2})\s*(\D+)", text)
    if match is None:
        return text
    parts = Decimal(match[2]) / Decimal(match[3])
    number = f"{Decimal(match[1] or 0) + parts:.4f}".rstrip("0").rstrip(".")
    return f"{number} {match[4]}"


def _reads(key: Key, text: str) -> bool:
    try:
        value = parse_quantity(text, key.units)
        _sane(key, value, lambda limit: parse_quantity(limit, key.units))
    except (ValueError, Unfit):
        return False
    return True
