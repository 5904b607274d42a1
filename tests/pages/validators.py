"""Machine validators from outside the project; each returns what it complains about.

`page_validation` checks the rules of PDF/UA-1 (ISO 14289-1) that a machine can check; `pdfua`
is an independent reading of some of them on another PDF library; QPDF reads the file as such:
objects, cross references, streams; Poppler walks the tag tree as a reader does. What only a
person can judge, none of them sees.
"""

from __future__ import annotations

import io
import subprocess
import tempfile
from pathlib import Path

import page
import pdfua
import pikepdf

SKIPPED = {"UA-14-001"}
"""A rule of `pdfua` 0.1.3 that ends in an error of its own, on heading levels; the other has it."""


def by_page_validation(content: bytes) -> list[str]:
    report = page.validate_pdf_bytes(content, profile=page.ValidationProfile.PDF_UA_1)
    assert report.rules.total > 100
    return [f"{failure.rule_id}: {failure.message}" for failure in report.failures]


def by_pdfua(content: bytes) -> list[str]:
    with tempfile.TemporaryDirectory() as place:
        path = Path(place, "packet.pdf")
        path.write_bytes(content)
        report = pdfua.validate(str(path))
    skipped = {one.rule_id: one.skipped_reason for one in report.outcomes if one.skipped_reason}
    assert skipped.keys() <= SKIPPED, skipped
    return [f"{found.rule_id}: {found.message}" for found in report.findings]


def by_poppler(content: bytes) -> list[str]:
    """Return what Poppler warns of while it walks the tag tree; it sees broken references."""
    done = subprocess.run(
        ["pdfinfo", "-struct", "-"],  # noqa: S607
        input=content,
        check=True,
        capture_output=True,
    )
    return done.stderr.decode().splitlines()


def by_qpdf(content: bytes) -> list[str]:
    try:
        with pikepdf.open(io.BytesIO(content), attempt_recovery=False) as pdf:
            return [str(problem) for problem in pdf.check_pdf_syntax()]
    except pikepdf.PdfError as fault:
        return [str(fault)]


VALIDATORS = {
    "page-validation": by_page_validation,
    "pdfua": by_pdfua,
    "qpdf": by_qpdf,
    "poppler": by_poppler,
}
