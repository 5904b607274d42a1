"""The table of keys as a JSON Schema, so that an editor completes and explains a job file.

JSON Schema, draft 2020-12 (json-schema.org), for a file read by the core schema of YAML 1.2,
where ``yes`` is a text and ``2023`` a whole number. What one line cannot show is left to
``packet check``: ranges of quantities, and values that must agree with each other.
"""

from __future__ import annotations

import re
from typing import Any

from packet.jobfile.schema import Condition, Key, below, signs
from packet.jobfile.values import LONGEST_TEXT, units_of
from packet.quantities import SIZES_MADE, UNIT_SPELLINGS

DIALECT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]

_NUMBER = r"-?[0-9]+(\.[0-9]+)?"
_AWG, _KCMIL = (
    [size.name.split()[0] for size in SIZES_MADE if size.name.endswith(system)]
    for system in ("AWG", "kcmil")
)
_CONDUCTOR = rf"#?\s*(({'|'.join(_AWG)})( AWG)?|({'|'.join(_KCMIL)})( kcmil)?)"
_IN_LISTS = ("choices", "quantities", "spaces")


def json_schema() -> Schema:
    """Return the schema of a whole job file, as plain dictionaries and lists."""
    return {
        "$schema": DIALECT,
        "title": "Job file of packet",
        "description": "One job, from which one work packet is printed.",
        **_section(""),
    }


def _section(path: str) -> Schema:
    """Return what may stand in a section, and what must stand there under which neighbours."""
    known = below(path)
    schema: Schema = {
        "type": "object",
        "properties": {name: _key(key) for name, key in known.items()},
        "required": [name for name, key in known.items() if key.required],
        "additionalProperties": False,
    }
    needs = {
        name: [neighbour for neighbour, _ in key.only_when]
        for name, key in known.items()
        if key.only_when
    }
    if needs:
        schema["dependentRequired"] = needs
    rules = [rule for key in known.values() for rule in _conditions(key, known)]
    if rules:
        schema["allOf"] = rules
    return schema


def _conditions(key: Key, known: dict[str, Key]) -> list[Schema]:
    rules: list[Schema] = []
    if key.only_when:
        rules.append({"if": {"required": [key.name]}, "then": _holds(key.only_when, known)})
    if key.required_when:
        met = {**_holds(key.required_when, known), "required": [n for n, _ in key.required_when]}
        rules.append({"if": met, "then": {"required": [key.name]}})
    return rules


def _holds(condition: Condition, known: dict[str, Key]) -> Schema:
    return {
        "properties": {
            name: {"enum": _as_read(values)} for name, values in condition if name in known
        }
    }


def _key(key: Key) -> Schema:
    schema: Schema = {"title": key.name.replace("_", " "), "description": _description(key)}
    if key.type == "section":
        return schema | _section(key.path)
    if key.type == "list":
        schema |= {"type": "array", "items": _section(f"{key.path}.*")}
        return schema | ({"minItems": key.at_least} if key.at_least else {})
    if key.type in _IN_LISTS:
        schema |= {"type": "array", "minItems": 1, "items": _value(key)}
        texts = [text.strip() for text in key.example.strip("[]").split(",")]
        return schema | {"examples": [[_number(text) for text in texts]]}
    schema |= {"examples": [_number(key.example)]}
    if key.unknown:
        return schema | {"anyOf": [_value(key), {"const": "unknown"}]}
    return schema | _value(key)


def _description(key: Key) -> str:
    """Return the help of a key, with the units it takes and its sane range."""
    says = f"{key.help[:1].upper()}{key.help[1:]}."
    if key.units:
        says += f" In {units_of(key).replace('`', '')}."
    if key.low and key.high and key.type != "conductor":
        says += f" From {' or '.join(key.low)} to {' or '.join(key.high)}."
    if key.low and key.type == "conductor":
        says += f" From {key.low[0]} to {key.high[0]}."
    if key.unknown:
        says += " `unknown` where it is not known yet: the packet then prints the question."
    return says


def _value(key: Key) -> Schema:
    """Return what one value of a key may be."""
    match key.type:
        case "text":
            return {
                "type": ["string", "number", "boolean"],
                "minLength": 1,
                "pattern": f"^[{_classed(signs())}]*$",
                "maxLength": LONGEST_TEXT,
            }
        case "yes/no":
            return {"enum": ["yes", "no"]}
        case "choice" | "choices":
            return {"enum": _as_read(key.choices)}
        case "date":
            return {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}
        case "quantity" | "quantities":
            return {"type": "string", "pattern": f"^{_NUMBER}\\s*({_spellings(key)})$"}
        case "count" | "spaces" | "number":
            return _numeric(key)
        case "conductor":
            return {
                "anyOf": [
                    {"type": "string", "pattern": f"^{_CONDUCTOR}$"},
                    {"enum": [int(size) for size in (*_AWG, *_KCMIL) if size.isdigit()]},
                ]
            }
        case "trade size":
            return {"anyOf": [{"enum": _as_read(key.choices)}, _trade_sizes(key)]}
    raise ValueError(f"`{key.path}` has the unknown type `{key.type}`")


def _classed(signs: frozenset[str]) -> str:
    """Return signs as the inside of a character class, in ranges."""
    ranges: list[tuple[str, str]] = []
    for sign in sorted(signs):
        if ranges and ord(ranges[-1][1]) + 1 == ord(sign):
            ranges[-1] = (ranges[-1][0], sign)
        else:
            ranges.append((sign, sign))
    return "".join("-".join(_escaped(end, "[]^-\\") for end in ends) for ends in ranges)


def _escaped(text: str, signs: str = ".*+?^$(){}|[]\\") -> str:
    return "".join(f"\\{sign}" if sign in signs else sign for sign in text)


def _numeric(key: Key) -> Schema:
    low, high = (key.low[0], key.high[0]) if key.low else ("1", "99")
    pattern = f"^{_NUMBER}$" if key.type == "number" else "^[0-9]+$"
    return {
        "type": ["number" if key.type == "number" else "integer", "string"],
        "minimum": _number(low),
        "maximum": _number(high),
        "pattern": pattern,
    }


def _spellings(key: Key) -> str:
    """Return every spelling of the units of a key, as a choice of a pattern."""
    units = {*key.units, *(["degF"] if "degC" in key.units else [])}
    spelled = [spelling for spelling, unit in UNIT_SPELLINGS.items() if unit in units]
    return "|".join(map(_escaped, spelled))


def _trade_sizes(key: Key) -> Schema:
    spelled = "|".join(choice.replace("-", r"[\s-]+") for choice in key.choices)
    return {"type": "string", "pattern": f'^({spelled})\\s*(in|inch|inches|")?$'}


def _as_read(texts: tuple[str, ...]) -> list[str | int | float]:
    """Return texts, and each that looks like a number also as the number that YAML makes of it."""
    found: list[str | int | float] = []
    for text in texts:
        found.append(text)
        if _number(text) != text:
            found.append(_number(text))
    return found


def _number(text: str) -> str | int | float:
    if re.fullmatch(r"-?[0-9]+", text):
        return int(text)
    return float(text) if re.fullmatch(_NUMBER, text) else text
