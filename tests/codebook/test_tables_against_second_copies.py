"""Tables that no formula makes, keyed a second time from the copy that is named beside each.

A slip of the finger in one of two keyings shows here. Figures marked as from memory were
keyed twice from memory: that guards the file, and says nothing about the book.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.codebook.reading import cells


def numbers(text: str) -> list[Decimal | None]:
    return [None if word == "-" else Decimal(word) for word in text.split()]


SIZES = (
    ["14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"],
    ["250", "300", "350", "400", "500", "600"],
)

AMPACITY = {
    "copper_60": "15 20 30 40 55 70 85 95 110 125 145 165 195 215 240 260 280 320 350",
    "copper_75": "20 25 35 50 65 85 100 115 130 150 175 200 230 255 285 310 335 380 420",
    "copper_90": "25 30 40 55 75 95 115 130 145 170 195 225 260 290 320 350 380 430 475",
    "aluminum_60": "- 15 25 35 40 55 65 75 85 100 115 130 150 170 195 210 225 260 285",
    "aluminum_75": "- 20 30 40 50 65 75 90 100 120 135 155 180 205 230 250 270 310 340",
    "aluminum_90": "- 25 35 45 55 75 85 100 115 135 150 175 205 230 260 280 305 350 385",
}
"""International Residential Code 2018 Table E3705.1, p. 742, and the same table at UpCodes."""


@pytest.mark.parametrize(("column", "copied"), AMPACITY.items())
def test_every_ampacity_is_that_of_the_residential_code(column: str, copied: str) -> None:
    rows = cells("conductor_ampacity")
    assert [row["size"] for row in rows] == [
        *(f"{size} AWG" for size in SIZES[0]),
        *(f"{size} kcmil" for size in SIZES[1]),
    ]
    assert [row[column] for row in rows] == numbers(copied)


COPIES: list[tuple[str, dict[str, str], str]] = [
    ("ambient_correction", {
        "up_to": "10 15 20 25 30 35 40 45 50 55 60 65 70 75 80 85",
        "conductor_60": "1.29 1.22 1.15 1.08 1.00 0.91 0.82 0.71 0.58 0.41 - - - - - -",
        "conductor_75": "1.20 1.15 1.11 1.05 1.00 0.94 0.88 0.82 0.75 0.67 0.58 0.47 0.33 - - -",
        "conductor_90":
            "1.15 1.12 1.08 1.04 1.00 0.96 0.91 0.87 0.82 0.76 0.71 0.65 0.58 0.50 0.41 0.29",
    }, "International Residential Code 2018 Table E3705.2, p. 742"),
    ("ccc_adjustment", {
        "from": "4 7 10 21 31 41",
        "to": "6 9 20 30 40 -",
        "factor": "0.80 0.70 0.50 0.45 0.40 0.35",
    }, "web copy of the 2014 table (buildmyowncabin.com)"),
    ("equipment_grounding", {
        "device_up_to": "15 20 60 100 200 300 400 500 600 800 1000 1200",
    }, "Bruns engineering reference page"),
    ("dwelling_service", {
        "rating": "100 110 125 150 175 200 225 250 300 350 400",
    }, "electrical distributor's page citing Table 310.12 of 2020"),
    ("box_allowance", {
        "volume": "1.50 1.75 2.00 2.25 2.50 3.00 5.00",
    }, "International Residential Code 2018 p. 770"),
    ("raceway_fill", {"fill": "53 31 40 60"}, "note collection restating Chapter 9 Table 1"),
    ("burial_cover", {
        "direct_burial": "24 18 0 18 24 18 18 2",
        "rigid_metal": "6 6 0 4 24 18 18 2",
        "nonmetallic": "18 12 0 4 24 18 18 2",
        "protected_120v": "12 6 0 6 24 12 18 2",
        "low_voltage": "6 6 0 6 24 18 18 2",
    }, "International Residential Code Table E3803.1 (UpCodes); the runway row from memory"),
    ("framing_protection", {
        "distance": "1.25 1.25 1.25 0.0625 1.5",
    }, "answer quoting 300.4(A)(1); residential code Table E3802.1; roof deck from memory"),
    ("conduit_bend_radius", {
        "one_shot": "4 4.5 5.75 7.25 8.25 9.5 10.5 13 15 16",
        "other": "4 5 6 8 10 12 15 18 21 24",
    }, "from memory"),
    ("cable_bend_radius", {
        "times": "5 5 5 7 10 12 15",
    }, "answer quoting 334.24; page quoting 330.24(A)(1); the rest from memory"),
    ("range_demand", {
        "column_a": "80 75 70 66 62 59 56 53 51 49 47 45 43 41 40 39 38 37 36 35 34 33 32 31 30"
                    " 30 30 30 30 30",
        "column_b": "80 65 55 50 45 43 40 36 35 34 32 32 32 32 32 28 28 28 28 28 26 26 26 26 26"
                    " 24 22 20 18 16",
    }, "electrical-knowhow.com (A of one), Centerville ordinance (B of two), the rest from memory"),
    ("torque_screw", {
        "slot_narrow": "20 25 35 35 40 - - - - - - -",
        "slot_wide": "35 40 45 50 50 50 50 50 50 50 50 50",
        "split_bolt": "80 80 165 275 275 275 385 500 650 825 825 1000",
        "other": "75 75 110 150 150 150 180 250 325 325 375 375",
    }, "transfer-switch maker's manual, 2018, to 350 kcmil; older Annex I; last three from memory"),
    ("torque_small_screw", {
        "narrow": "7 7 7 7 9 - -",
        "wide": "9 12 12 12 12 15 20",
    }, "thenecwiki.com copy of Annex I to 1/4 in; the last two rows from memory"),
    ("torque_socket", {
        "torque": "45 100 120 150 200 275 375 500 600",
    }, "transfer-switch maker's manual, 2018"),
    ("dryer_demand", {
        "factor": "100 85 75 65 60 55 50 47 47 35 25",
    }, "residential code E3704 for nine to 23 dryers; the rest from memory"),
    ("supports", {
        "within": "12 12 12 12 - 36 36 36 12 12 12 36 36 36 36 36 36 36 36 36 36",
        "spacing": "4.5 4.5 4.5 6 6 10 10 3 4.5 4.5 3 3 5 6 7 8 3 5 6 7 8",
    }, "residential code Table E3802.1; New Hampshire sheet, 1999 (PVC); SER, LFNC-B from memory"),
]  # fmt: skip


@pytest.mark.parametrize(("table", "columns", "source"), COPIES)
def test_every_cell_is_that_of_the_second_keying(
    table: str, columns: dict[str, str], source: str
) -> None:
    rows = cells(table)
    for column, copied in columns.items():
        assert [row[column] for row in rows] == numbers(copied), (column, source)


def test_the_standard_ratings_are_those_of_the_reprint() -> None:
    """To 600 A the web reprint of the list; above it from memory."""
    copied = "10 15 20 25 30 35 40 45 50 60 70 80 90 100 110 125 150 175 200 225 250 300 350 400"
    copied += " 450 500 600 700 800 1000 1200 1600 2000 2500 3000 4000 5000 6000"
    assert [row["rating"] for row in cells("standard_ratings")] == numbers(copied)
    earlier = [row["rating"] for row in cells("standard_ratings", "2017")]
    assert earlier == numbers(copied)[1:]


SMALL = {
    ("copper", "18 AWG"): 7, ("copper", "16 AWG"): 10, ("copper", "14 AWG"): 15,
    ("copper", "12 AWG"): 20, ("copper", "10 AWG"): 30, ("aluminum", "12 AWG"): 15,
    ("aluminum", "10 AWG"): 25, ("copper-clad aluminum", "12 AWG"): 15,
    ("copper-clad aluminum", "10 AWG"): 25,
}  # fmt: skip
"""Wire maker's ampacity page (alanwire.com); 18 and 16 AWG from memory."""


@pytest.mark.parametrize("edition", ["2017", "2020", "2023", "2026"])
def test_the_small_conductor_limits_are_those_of_the_wire_maker(edition: str) -> None:
    ours = {
        (row["material"], row["size"]): row["limit"]
        for row in cells("small_conductor_limit", edition)
    }
    later: dict[Any, int] = {("copper-clad aluminum", "14 AWG"): 10} if edition >= "2023" else {}
    assert ours == {**SMALL, **later}


def test_the_grounding_sizes_are_those_of_the_copies() -> None:
    """250.122: Bruns engineering reference page; 250.66: voltagelab.com and buckworks.net."""
    rows = cells("equipment_grounding")
    copper = ["14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0"]
    aluminum = ["12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0"]
    assert [row["copper"] for row in rows] == [f"{size} AWG" for size in copper]
    assert [row["aluminum"] for row in rows] == [
        *(f"{size} AWG" for size in aluminum), "250 kcmil",
    ]  # fmt: skip
    rows = cells("grounding_electrode_conductor")
    found = [(row["copper"], row["aluminum"]) for row in rows]
    assert found == [
        ("8 AWG", "6 AWG"), ("6 AWG", "4 AWG"), ("4 AWG", "2 AWG"), ("2 AWG", "1/0 AWG"),
        ("1/0 AWG", "3/0 AWG"), ("2/0 AWG", "4/0 AWG"), ("3/0 AWG", "250 kcmil"),
    ]  # fmt: skip
    assert [row["service_copper_up_to"] for row in rows] == [
        "2 AWG", "1/0 AWG", "3/0 AWG", "350 kcmil", "600 kcmil", "1100 kcmil", None,
    ]  # fmt: skip
    assert [row["service_aluminum_up_to"] for row in rows] == [
        "1/0 AWG", "3/0 AWG", "250 kcmil", "500 kcmil", "900 kcmil", "1750 kcmil", None,
    ]  # fmt: skip
