"""An offer with an answer missing: a blank in its place, and no total that hides it."""

from __future__ import annotations

from pathlib import Path

import pytest

from packet.jobfile import load_job
from packet.ledger import Verdict
from packet.plans.branch_circuit import Plan, plan
from packet.sheets import views
from packet.sheets.sets import client_set

JOB = Path(__file__).parents[2] / "jobs" / "driveway-pedestal.yaml"


def planned(tmp_path: Path, *changes: tuple[str, str]) -> Plan:
    text = JOB.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / "job.yaml"
    path.write_text(text, "utf-8")
    return plan(load_job(path))


def scope(made: Plan) -> views.Scope:
    sheet = client_set(made).sheets[0]
    assert isinstance(sheet, views.Scope)
    return sheet


def blanks(sheet: views.Scope) -> list[str]:
    return [line.item for line in sheet.prices if not line.amount]


WHOLE_OFFER = JOB.read_text("utf-8").split("\noffer:")[1]


def test_the_demo_is_whole(tmp_path: Path) -> None:
    made = planned(tmp_path)
    assert "offer_has_a_total" not in made.ledger.checks
    assert blanks(scope(made)) == []


@pytest.mark.parametrize(
    ("change", "blank"),
    [
        (("  hourly_rate: 92 USD\n", ""), ["Labor"]),
        (("  sales_tax: 6.4 %\n", ""), ["Sales tax"]),
        (
            ("  tax_on: materials               # what it is charged on differs by state\n", ""),
            ["Sales tax"],
        ),
        (("  permit_fee: 140 USD\n", ""), ["Permit fee"]),
        (("  permit_by: installer\n", ""), ["Permit fee"]),
        (("item: solvent-cement", "item: glue"), ["Materials", "Sales tax"]),
    ],
)
def test_a_missing_line_is_a_blank_and_takes_the_total_with_it(
    tmp_path: Path, change: tuple[str, str], blank: list[str]
) -> None:
    made = planned(tmp_path, change)
    sheet = scope(made)
    assert blanks(sheet) == blank
    assert sheet.total == ""
    assert {payment.amount for payment in sheet.payments} == {""}
    assert made.ledger.checks["offer_has_a_total"].verdict is Verdict.NOTE


def test_without_any_terms_only_blanks_stand_in_their_place(tmp_path: Path) -> None:
    made = planned(tmp_path, ("\noffer:" + WHOLE_OFFER, "\n"))
    sheet = scope(made)
    assert sheet.kind == "offer"
    assert blanks(sheet) == ["Sales tax", "Permit fee"]
    assert (sheet.valid_until, sheet.permit_by, sheet.warranty, sheet.payments) == ("", "", "", ())


def test_a_permit_that_the_owner_gets_is_not_in_the_price(tmp_path: Path) -> None:
    sheet = scope(planned(tmp_path, ("permit_by: installer", "permit_by: owner")))
    assert sheet.total
    assert "Permit fee" not in [line.item for line in sheet.prices]
    assert any("fee of the permit" in text for text in sheet.not_included)
    assert not any("inspector" in item.text for item in sheet.work)


@pytest.mark.parametrize(
    ("taxed", "tax"), [("nothing", "$\u00a00.00"), ("materials and labor", "$\u00a0199.08")]
)
def test_tax_follows_what_the_state_taxes(tmp_path: Path, taxed: str, tax: str) -> None:
    """6.4 % of 802.14 + 238.50 + 2,070.00, by hand."""
    sheet = scope(planned(tmp_path, ("tax_on: materials ", f"tax_on: {taxed} ")))
    assert next(line.amount for line in sheet.prices if line.item == "Sales tax") == tax


def test_hours_that_the_electrician_names_are_charged(tmp_path: Path) -> None:
    sheet = scope(planned(tmp_path, ("  hours_factor: 1", "  hours_factor: 1\n  hours: 30 h")))
    labour = next(line for line in sheet.prices if line.item == "Labor")
    assert labour.amount == "$\u00a02,760.00"
    assert labour.how.startswith("30\u00a0h")
