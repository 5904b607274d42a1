"""Single cells of the tables as they stand in published examples, with the source beside each."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from packet.codebook import EDITIONS
from tests.codebook.reading import cells

CELLS: list[tuple[str, dict[str, Any], str, Any, str]] = [
    ("conductor_ampacity", {"size": "1/0 AWG"}, "copper_75", 150, "code examination questions, Q1"),
    ("conductor_ampacity", {"size": "2 AWG"}, "copper_75", 115, "electricianmath.com, correction"),
    ("conductor_ampacity", {"size": "12 AWG"}, "copper_90", 30, "Mike Holt forum, post 1752128"),
    ("conductor_ampacity", {"size": "12 AWG"}, "copper_60", 20, "Mike Holt forum, post 1294209"),
    ("conductor_ampacity", {"size": "14 AWG"}, "copper_90", 25, "ElectricianTalk, 334.80 thread"),
    ("conductor_ampacity", {"size": "8 AWG"}, "copper_75", 50, "EC&M; Mike Holt newsletter 2089"),
    ("conductor_ampacity", {"size": "6 AWG"}, "copper_60", 55, "EC&M; Mike Holt newsletter 2089"),
    ("conductor_ampacity", {"size": "4/0 AWG"}, "aluminum_75", 180, "journeyman practice test"),
    ("ambient_correction", {"up_to": 40}, "conductor_75", "0.88", "electricianmath.com; Q1"),
    ("ambient_correction", {"up_to": 55}, "conductor_90", "0.76", "EngineerBoards thread 27269"),
    ("ccc_adjustment", {"from": 4}, "factor", "0.80", "Mike Holt forum, post 1752128"),
    ("ccc_adjustment", {"from": 7}, "factor", "0.70", "Mike Holt forum, post 1294209"),
    ("ccc_adjustment", {"from": 10}, "factor", "0.50", "DIY Chatroom thread 10123"),
    ("dwelling_service", {"rating": 100}, "copper", "4 AWG", "Mike Holt forum thread 132487"),
    ("dwelling_service", {"rating": 125}, "copper", "2 AWG", "Mike Holt forum thread 132487"),
    ("dwelling_service", {"rating": 150}, "copper", "1 AWG", "Mike Holt forum thread 132487"),
    ("dwelling_service", {"rating": 200}, "copper", "2/0 AWG", "Mike Holt forum thread 132487"),
    ("dwelling_service", {"rating": 200}, "aluminum", "4/0 AWG", "journeyman practice test"),
    ("equipment_grounding", {"device_up_to": 20}, "copper", "12 AWG", "Mike Holt newsletter 2080"),
    ("equipment_grounding", {"device_up_to": 60}, "copper", "10 AWG", "Mike Holt newsletter 2080"),
    ("equipment_grounding", {"device_up_to": 100}, "copper", "8 AWG", "Mike Holt newsletter 2080"),
    ("equipment_grounding", {"device_up_to": 200}, "copper", "6 AWG", "Mike Holt newsletter 2080"),
    ("equipment_grounding", {"device_up_to": 300}, "copper", "4 AWG", "Code Talk, episode 32"),
    ("conductor_resistance", {"size": "12 AWG"}, "area", 6530, "MEPAnet forum thread 287"),
    ("conductor_resistance", {"size": "10 AWG"}, "area", 10380, "Mike Holt forum thread 89521"),
    ("conductor_resistance", {"size": "4 AWG"}, "area", 41740, "Code Talk, episode 32"),
    ("conductor_resistance", {"size": "1 AWG"}, "area", 83690, "EPB Chattanooga energy library"),
    ("conductor_resistance", {"size": "1/0 AWG"}, "area", 105600, "EPB Chattanooga; MEPAnet 287"),
    ("conductor_resistance", {"size": "3/0 AWG"}, "area", 167800, "MEPAnet forum thread 287"),
    ("box_allowance", {"size": "12 AWG"}, "volume", "2.25", "HomeOwnersHub thread 430538"),
    ("box_allowance", {"size": "14 AWG"}, "volume", "2.00", "EC&M box sizing quiz, question 1"),
    ("box_allowance", {"size": "16 AWG"}, "volume", "1.75", "SDM Magazine quiz, 2018"),
    ("burial_cover", {"location": "all other locations"}, "direct_burial", 24,
     "Mike Holt forum thread 2568760"),
    ("burial_cover", {"location": "all other locations"}, "rigid_metal", 6,
     "Mike Holt forum thread 2568760"),
    ("burial_cover", {"location": "all other locations"}, "nonmetallic", 18, "handout on depths"),
    ("burial_cover", {"location": "all other locations"}, "protected_120v", 12,
     "Mike Holt forum thread 2568760"),
    ("raceway_dimensions", {"raceway": "PVC-40", "trade_size": "2"}, "area", "3.291",
     "Mike Holt forum thread 2578132"),
    ("raceway_dimensions", {"raceway": "PVC-40", "trade_size": "2-1/2"}, "area", "4.695",
     "Mike Holt forum thread 2578132"),
    ("conductor_dimensions", {"size": "10 AWG"}, "thhn_area", "0.0211", "2023-based data set"),
    ("conductor_dimensions", {"size": "8 AWG"}, "thhn_area", "0.0366", "2023-based data set"),
    ("conductor_dimensions", {"size": "4 AWG"}, "thhn_area", "0.0824", "2023-based data set"),
    ("conductor_dimensions", {"size": "500 kcmil"}, "thhn_area", "0.7073", "2023-based data set"),
    ("small_conductor_limit", {"material": "copper", "size": "14 AWG"}, "limit", 15,
     "ElectricianTalk, 334.80 thread"),
    ("supports", {"method": "NM-B"}, "spacing", "4.5", "qastack answer quoting 334.30"),
]  # fmt: skip


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("table", "keys", "column", "printed", "source"), CELLS)
def test_the_cell_is_the_one_in_the_published_example(
    edition: str, table: str, keys: dict[str, Any], column: str, printed: Any, source: str
) -> None:
    rows = [
        row
        for row in cells(table, edition)
        if all(row[name] == wanted for name, wanted in keys.items())
    ]
    assert rows
    for row in rows:
        wanted = printed if isinstance(row[column], str) else Decimal(printed)
        assert row[column] == wanted, source


def test_depth_of_working_space_is_that_of_the_public_law() -> None:
    """Washington WAC 296-24-95703 Table S-1, the state twin of 29 CFR 1910.303 Table S-1.

    The row above 600 V is from memory.
    """
    ours = {(row["volts"], row["condition"]): row["depth"] for row in cells("working_space")}
    assert [ours[Decimal(150), f"condition {one}"] for one in "123"] == [3, 3, 3]
    assert [ours[Decimal(600), f"condition {one}"] for one in "123"] == [3, Decimal("3.5"), 4]
    assert [ours[Decimal(1000), f"condition {one}"] for one in "123"] == [3, 4, 5]


AREA = {row["size"]: row["area"] for row in cells("conductor_resistance")} | {
    f"{kcmil} kcmil": Decimal(1000 * kcmil) for kcmil in (600, 700, 750, 900, 1100, 1750)
}


def test_the_equipment_grounding_conductor_grows_with_standard_ratings() -> None:
    """Every row ends at a standard rating; aluminum has 1.49 to 1.59 times the copper area."""
    rows = cells("equipment_grounding")
    standard = {row["rating"] for row in cells("standard_ratings")}
    assert all(row["device_up_to"] in standard for row in rows)
    for metal in ("copper", "aluminum"):
        areas = [AREA[row[metal]] for row in rows]
        assert all(small < large for small, large in pairwise(areas))
    for row in rows:
        ratio = AREA[row["aluminum"]] / AREA[row["copper"]]
        assert Decimal("1.45") < ratio < Decimal("1.61"), row["device_up_to"]
    assert (rows[0]["device_up_to"], rows[-1]["device_up_to"], len(rows)) == (15, 1200, 12)


def test_the_grounding_electrode_conductor_grows_and_never_passes_its_service() -> None:
    rows = cells("grounding_electrode_conductor")
    assert len(rows) == 7
    for metal in ("copper", "aluminum"):
        limits = [row[f"service_{metal}_up_to"] for row in rows]
        assert limits[-1] is None
        assert all(AREA[a] < AREA[b] for a, b in pairwise(limits[:-1]))
        assert all(AREA[a[metal]] < AREA[b[metal]] for a, b in pairwise(rows))
        for row in rows[:-1]:
            assert AREA[row[metal]] < AREA[row[f"service_{metal}_up_to"]]
    for row in rows[:-1]:
        ratio = AREA[row["service_aluminum_up_to"]] / AREA[row["service_copper_up_to"]]
        assert Decimal("1.4") < ratio < Decimal("1.7"), row["service_copper_up_to"]


def test_there_are_37_standard_ratings_and_ten_amperes_more_from_2023() -> None:
    """Rating counts: Table 240.6(A); every step under 100 A is 5 or 10 A (web reprint)."""
    for edition, first in zip(EDITIONS, (15, 15, 10, 10), strict=True):
        ratings = [row["rating"] for row in cells("standard_ratings", edition)]
        assert ratings[0] == first
        assert len([rating for rating in ratings if rating >= 15]) == 37
        assert ratings == sorted(set(ratings))
        assert all(b - a in (5, 10) for a, b in pairwise([r for r in ratings if r <= 110]))


def test_copper_clad_aluminum_of_14_awg_is_only_in_the_later_editions() -> None:
    """expertce.com lesson: 10 A for 14 AWG copper-clad aluminum is new in 2023."""
    for edition, there in zip(EDITIONS, (False, False, True, True), strict=True):
        limits = {
            (row["material"], row["size"]): row["limit"]
            for row in cells("small_conductor_limit", edition)
        }
        assert (("copper-clad aluminum", "14 AWG") in limits) is there
        assert ("aluminum", "14 AWG") not in limits
        assert limits["copper", "10 AWG"] == 30
        assert limits["aluminum", "10 AWG"] == 25


CONFIGURATIONS = cells("receptacle_configuration")
SERIES = {
    "5": ("125", 2, 3, True, True),
    "6": ("250", 2, 3, False, True),
    "10": ("125/250", 3, 3, True, False),
    "14": ("125/250", 3, 4, True, True),
}
"""Meaning of the series number: encyclopedia article on the configurations; distributor's page
on WD 6-2021 (volts, poles, wires, neutral, equipment grounding)."""


@pytest.mark.parametrize("row", CONFIGURATIONS, ids=lambda row: str(row["configuration"]))
def test_a_configuration_is_what_its_number_says(row: dict[str, Any]) -> None:
    series, rating = str(row["configuration"]).split("-")
    assert row["rating"] == Decimal(rating)
    assert row["locking"] is (series.startswith("L") or series == "SS2")
    if series.removeprefix("L") in SERIES:
        found = (row["volts"], row["poles"], row["wires"], row["neutral"], row["grounding"])
        assert found == SERIES[series.removeprefix("L")]
    assert row["for_new_work"] is row["grounding"]
    assert row["highest_volts"] == Decimal(str(row["volts"]).rpartition("/")[2])
    assert row["wires"] - int(row["grounding"]) == row["poles"]


def test_a_field_bend_is_never_tighter_with_another_bender() -> None:
    """Memory figures of Chapter 9 Table 2: in order, and no one-shot radius above the other."""
    rows = cells("conduit_bend_radius")
    for column in ("one_shot", "other"):
        assert all(a[column] < b[column] for a, b in pairwise(rows))
    assert all(row["one_shot"] <= row["other"] for row in rows)


def test_cover_is_never_less_for_direct_burial_than_in_rigid_metal() -> None:
    for row in cells("burial_cover"):
        assert row["direct_burial"] >= row["nonmetallic"] >= row["rigid_metal"]
        assert row["direct_burial"] >= row["protected_120v"]
        shallow = row["direct_burial"] < 6
        assert row["raceway_only"] is shallow, "a cable lies shallow without a raceway"


def test_supports_of_every_method_of_the_job_file_and_plastic_sags_more_when_thin() -> None:
    rows = cells("supports")
    methods = {row["method"] for row in rows}
    assert methods == {"NM-B", "UF-B", "SER", "MC", "EMT", "RMC", "FMC", "LFMC", "LFNC-B", "ENT",
                       "PVC-40", "PVC-80"}  # fmt: skip
    for name in ("PVC-40", "PVC-80"):
        spacing = [row["spacing"] for row in rows if row["method"] == name]
        assert spacing == [3, 5, 6, 7, 8]
