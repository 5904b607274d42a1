"""Jobs that strain the pictures: the longest names, the largest panel, every kind of supply.

Each is a demo with some of its text changed; people, places and names are invented.
"""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

from packet.jobfile import load_job
from packet.plans.branch_circuit import Plan, plan

JOBS = Path(__file__).parents[2] / "jobs"
LONGEST = 300
"""Most signs of a text in a job file (packet/jobfile/values.py)."""

WORDS = ("Workshop panel behind the carriage house at the end of the lane, " * 9)[:LONGEST].strip()
UNBROKEN = "W" * LONGEST


def _breakers(lines: list[str]) -> str:
    return "".join(f"    - {{{line}}}\n" for line in lines)


def _full_panel() -> list[str]:
    """84 spaces: tandem breakers in every second row, two- and four-space devices between."""
    lines = ["spaces: [1, 2, 3, 4], rating: 200 A, serves: Backfed main"]
    for space in range(5, 81):
        if space % 8 in (5, 6):
            lines.append(f"spaces: [{space}, {space + 2}], rating: 30 A, serves: Heater {space}")
        elif space % 8 in (1, 2):
            lines += [
                f"spaces: [{space}], rating: 15 A, serves: Lights {space} {half}, tandem: {half}"
                for half in ("upper", "lower")
            ]
        elif space % 8 in (3, 4):
            lines.append(f"spaces: [{space}], rating: 20 A, serves: Receptacles in room {space}")
    return lines


def _between(text: str, start: str, end: str, new: str) -> str:
    head, _, rest = text.partition(start)
    assert rest, f"`{start}` is not there"
    _, mark, tail = rest.partition(end)
    assert mark, f"`{end}` is not there"
    return head + start + new + end + tail


def _changed(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert old in text, f"the demo does not say `{old}`"
        text = text.replace(old, new, 1)
    return text


def _long_names(text: str, name: str) -> str:
    return _changed(
        text,
        ("  name: Cellar panel", f"  name: {name}"),
        ("    source_panel: Panel A", f"    source_panel: {name}"),
        ("  name: Veldane Rural Power Cooperative", f"  name: {name}"),
        ("    name: Small wall charger", f"    name: {name}"),
        ("  title: Small wired charger in the garage under the house", f"  title: {name}"),
    )


def _boxes_everywhere(text: str) -> str:
    parts = "".join(
        f"  - {{name: Part {n}, method: PVC-40, length: 3 ft, place: basement, ambient: 27 degC, "
        "insulation: THHN/THWN-2, bends: 0 deg, subject_to_damage: no, wet: no, buried: no}\n"
        for n in range(40)
    )
    boxes = "".join(
        f"  - {{name: {UNBROKEN if n == 7 else f'Pull box {n}'}, role: pull, after: Part {n}, "
        "material: metal, volume: 42 in3, internal_clamps: no, depth: 2 in}\n"
        for n in range(40)
    )
    return _changed(text, ("route:\n", f"route:\n{parts}"), ("boxes:\n", f"boxes:\n{boxes}"))


def _texts() -> dict[str, str]:
    garage, cellar, pedestal = (
        (JOBS / f"{name}.yaml").read_text("utf-8")
        for name in ("garage-receptacle", "cellar-subpanel", "driveway-pedestal")
    )
    managed = (
        "  energy_management: {limit: 24 A, listed: yes, access_restricted: yes, "
        "monitors_service: yes}\n"
    )
    other = (
        "  detached_building: no           # the pedestal carries the charger and nothing else",
        "  detached_building: yes\n  building_has_other_supply: no",
    )
    disconnect = (
        "  - {name: Disconnect on the workshop, role: disconnect, after: Up into the pedestal, "
        "material: nonmetallic, volume: 90 in3, depth: 4 in}\n"
    )
    spaces = ("  spaces: 30\n", "  spaces: 84\n")
    return {
        "garage": garage,
        "cellar": cellar,
        "pedestal": pedestal,
        "long names": _long_names(cellar, WORDS),
        "unbroken names": _long_names(cellar, UNBROKEN),
        "subpanel with a main": _changed(
            cellar, ("  bus_rating: 125 A ", "  main_rating: 100 A\n  bus_rating: 125 A ")
        ),
        "84 spaces": _between(
            _changed(garage, spaces, ("spaces: [19, 21] ", "spaces: [81, 83] ")),
            "  breakers:\n",
            "\ncircuit:",
            _breakers(_full_panel()),
        ),
        "5 spaces": _between(
            _changed(
                garage,
                ("  spaces: 30\n", "  spaces: 5\n"),
                ("spaces: [19, 21] ", "spaces: [1, 3] "),
            ),
            "  breakers:\n",
            "\ncircuit:",
            _breakers(["spaces: [2], rating: 20 A, serves: Lights"]),
        ),
        "detached building": _changed(pedestal, other),
        "detached building with a disconnect": _changed(
            pedestal, other, ("boxes:\n", f"boxes:\n{disconnect}")
        ),
        "energy management": _changed(
            garage, ("  rating: 200 A\n  system", f"  rating: 200 A\n{managed}  system")
        ),
        "new energy management, supply not known": _changed(
            garage,
            (
                "  rating: 200 A\n  system",
                f"  rating: 200 A\n{managed.replace('listed', 'installed: no, listed')}  system",
            ),
            ("  conductor: 4/0 AWG\n", "  conductor: unknown\n"),
            ("  electrode_conductor: 4 AWG\n", ""),
        ),
        "6-50 in a nonmetallic box": _changed(
            garage,
            ("configuration: 14-50", "configuration: 6-50"),
            ("material: metal\n    vol", "material: nonmetallic\n    vol"),
        ),
        "6-50 in a metal box": _changed(garage, ("configuration: 14-50", "configuration: 6-50")),
        "no box named": _without_boxes(garage),
        "breaker without GFCI": _changed(pedestal, ("    neutral: no", "    neutral: yes")),
        "boxes everywhere": _boxes_everywhere(pedestal),
    }


def _without_boxes(text: str) -> str:
    head, _, rest = text.partition("\nboxes:\n")
    return head + "\nterminals:" + rest.partition("\nterminals:")[2]


TEXTS = _texts()


@cache
def planned(name: str) -> Plan:
    """Return one of these jobs, worked out."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "job.yaml"
        file.write_text(TEXTS[name], "utf-8")
        return plan(load_job(file))
