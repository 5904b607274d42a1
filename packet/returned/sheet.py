"""A file of readings: field names with what was written, for those who wrote on paper."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from packet.jobfile.faults import Faults
from packet.jobfile.read import Items, Text, read
from packet.jobfile.values import suggestion
from packet.problems import typed
from packet.returned import Returned
from packet.returned.pdf import STAMP
from packet.returned.values import NOT_TAKEN, Unfit, measured

READINGS = {
    "kind": "a file of readings",
    "holds": "record",
    "sample": "the example in README.md",
    "other": "the example in README.md",
    "first": "write `values: ` and the check code, and below it a line for each field",
}
"""How messages speak of such a file."""

YES_NO = {"yes": "yes", "no": ""}
EXAMPLES = {"V": "239.8 V", "A": "40 A", "Ω": "0.2 ohm", "MΩ": "20 MΩ", "lbf_in": "45 lbf-in"}


def readings_file(path: Path, fields: Mapping[str, bool], units: Mapping[str, str]) -> Returned:
    """Read a file of readings against the fields of the packet as it would be printed now.

    Parameters
    ----------
    path : Path
    fields : mapping
        Every field of the packet -> whether it is a box to tick.
    units : mapping
        Field of a reading or a torque -> unit that a bare number in it is in.

    Raises
    ------
    JobFaults
        With every fault (codes Y0xx and R0xx), each with its line.
    """
    document = read(path, READINGS)
    faults = Faults(document.file, document.lines, kind=READINGS)
    known = set(fields) | {"values"} | set(units)
    written: dict[str, str] = {}
    for key, value in document.top.pairs:
        name = key.value
        if name not in known:
            near = suggestion(name, sorted(known))
            faults.add("R010", key.span, "near" if near else "takes", key=typed(name), near=near)
        elif not isinstance(value, Text):
            found = "a list" if isinstance(value, Items) else "keys with values"
            faults.add("R013", value.span, key=name, found=found)
        elif not value.value:
            faults.add("R014", key.span, key=name)
        elif fields.get(name, False):
            if value.value.lower() not in YES_NO:
                faults.add("R021", value.span, key=name, text=typed(value.value))
            written[name] = YES_NO.get(value.value.lower(), "")
        else:
            written[name] = value.value
            unit = units.get(name)
            if unit is not None and value.value.lower() not in NOT_TAKEN:
                try:
                    measured(value.value, unit)
                except Unfit as unfit:
                    faults.add(
                        "R020",
                        value.span,
                        str(unfit),
                        key=name,
                        text=typed(value.value),
                        example=EXAMPLES[unit],
                    )
    stamp = document.top.get("values")
    if stamp is None:
        faults.add("R011", faults.whole())
    elif isinstance(stamp, Text) and stamp.value and not STAMP.fullmatch(stamp.value.upper()):
        faults.add("R012", stamp.span, text=typed(stamp.value))
    faults.stop()
    code = written.pop("values").upper()
    return Returned(code, {name: text for name, text in written.items() if text})
