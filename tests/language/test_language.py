"""Which language is spoken: bound, never global; English where a catalog has nothing."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest

from packet import findings, render, resources, words
from packet.cli import main
from packet.language import ENGLISH, OwnWords, cached, counted, read_catalog, said, speaking, spoken
from packet.ledger import Entry, Kind
from packet.procedure.library import library
from packet.quantities import quantity
from packet.sheets.terms import FirstUses, terms
from packet.showing import show
from tests.language.pseudo import ROOT, pseudo, pseudo_language
from tests.pages.fixtures import SETS

HEAD = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=utf-8\\n"\n'
SMALL = f"""{HEAD}"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

msgid "Shopping list"
msgstr "Lista de compras"

msgid "Done"
msgstr ""

#, fuzzy
msgid "Item"
msgstr "Cosa"

msgctxt "price"
msgid "Line"
msgstr "Importe"

msgid "day"
msgid_plural "days"
msgstr[0] "día"
msgstr[1] "días"

msgid "copper"
msgstr "cobre"
"""


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "packet.po"
    path.write_text(SMALL, "utf-8")
    return path


def test_what_a_catalog_lacks_stands_in_english_and_is_counted(small: Path) -> None:
    language = read_catalog(small, "es")
    assert (language.tag, language.texts, language.missing) == ("es", 6, 2)
    with speaking(language):
        assert said("Shopping list") == "Lista de compras"
        assert [said(text) for text in ("Done", "Item", "Line", "no such text")] == [
            "Done",
            "Item",
            "Line",
            "no such text",
        ]
        assert said("") == ""
    assert said("Shopping list") == "Shopping list"


def test_numbers_go_with_the_right_word(small: Path) -> None:
    def days(count: str) -> str:
        return show(Entry("dwelling.measured_demand.days", quantity(count, "d"), Kind.GIVEN))

    assert [days(count) for count in ("1", "30")] == ["1\u00a0day", "30\u00a0days"]
    with speaking(read_catalog(small, "es")):
        assert [days(count) for count in ("1", "30")] == ["1\u00a0día", "30\u00a0días"]
        assert counted("day", "days", 1) == "día"


def test_own_words_stay_and_words_of_the_job_file_do_not(small: Path) -> None:
    with speaking(read_catalog(small, "es")):
        assert show(Entry("conductor_material", "copper", Kind.GIVEN)) == "cobre"
        assert show(Entry("panel.name", OwnWords("copper"), Kind.GIVEN)) == "copper"
        assert words.term("copper, NM-B") == "cobre, NM-B"


def test_texts_that_are_kept_are_kept_by_language() -> None:
    def everything() -> tuple[str, ...]:
        return (
            words.word("overcurrent_rating").label,
            words.word("route.2.place").label,
            findings.texts()["service_carries_load"]["asks"],
            resources.texts("torque")["again"],
            library().exits["who"],
            render.html(SETS["do not start"], "letter").split("<body>")[1][:2000],
        )

    english = everything()
    with speaking(pseudo_language()):
        other = everything()
    assert all(one != two for one, two in zip(english, other, strict=True))
    assert everything() == english


def test_two_packets_at_a_time_do_not_mix() -> None:
    both = Barrier(2, timeout=10)

    def speak(language: object) -> tuple[str, str]:
        with speaking(language):  # type: ignore[arg-type]
            both.wait()
            first = words.word("overcurrent_rating").label
            both.wait()
            return first, said("Done")

    with ThreadPoolExecutor(2) as pool:
        pseudo_done, english_done = pool.map(speak, [pseudo_language(), ENGLISH])
    assert pseudo_done[1] == pseudo("Done")
    assert english_done[1] == "Done"
    assert pseudo_done[0] == pseudo(english_done[0])


def test_the_language_ends_with_its_binding_even_after_a_fault() -> None:
    with pytest.raises(LookupError), speaking(pseudo_language()):
        raise LookupError
    assert spoken() is ENGLISH


def test_kept_by_arguments_too() -> None:
    made: list[int] = []

    @cached
    def double(number: int) -> int:
        made.append(number)
        return 2 * number

    assert [double(1), double(2), double(1)] == [2, 4, 2]
    assert made == [1, 2]
    with speaking(pseudo_language()):
        assert double(1) == 2
    assert made == [1, 2, 1]


def test_only_another_language_pays_for_reading_catalogs() -> None:
    code = (
        "import sys; from packet.cli import main; main(['check', sys.argv[1]]);"
        "import packet.render; sys.exit('babel.messages' in sys.modules)"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter and code
        [sys.executable, "-c", code, str(ROOT / "jobs/full-service.yaml")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


# ------------------------------------------------------------------------ the command line


@pytest.fixture
def quick_print(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stop before the layout, which takes the time."""
    monkeypatch.setattr(
        render, "pdf", lambda sheets, paper, *_: render.html(sheets, paper).encode()
    )
    monkeypatch.setattr("packet.mark.signed", lambda content, _: content)


@pytest.mark.usefixtures("quick_print")
def test_the_language_is_an_option(
    tmp_path: Path, small: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("packet.commands.build.language_of", lambda _: read_catalog(small, "es"))
    job = str(ROOT / "jobs/full-service.yaml")
    assert main(["build", job, "--out", str(tmp_path), "--language", "es"]) == 3
    assert capsys.readouterr().err == (
        "packet: the catalog `es` lacks 2 of 6 texts; they are printed in English\n"
    )
    page = (tmp_path / "full-service-clipboard-es.pdf").read_text("utf-8")
    assert '<html lang="es"' in page
    assert spoken() is ENGLISH


@pytest.mark.usefixtures("quick_print")
def test_the_file_of_every_reader_tells_its_language(
    tmp_path: Path, small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("packet.commands.build.language_of", lambda _: read_catalog(small, "es"))
    job = str(ROOT / "jobs/full-service.yaml")
    main(["build", job, "--out", str(tmp_path), "--for", "all", "--language", "es"])
    assert {path.name for path in tmp_path.iterdir() if path.suffix == ".pdf"} == {
        f"full-service-{reader}-es.pdf" for reader in ("clipboard", "client", "permit")
    }


def test_words_of_the_trade_are_looked_for_as_the_language_spells_them(tmp_path: Path) -> None:
    path = tmp_path / "packet.po"
    path.write_text(
        SMALL
        + """
msgid "breaker"
msgstr "interruptor"

msgid "breakers"
msgstr "interruptores, disyuntores"
""",
        "utf-8",
    )
    with speaking(read_catalog(path, "es")):
        found = FirstUses(terms())("<p>Compre dos disyuntores.</p>")
        assert [term.name for term in found] == ["interruptor"]
        assert FirstUses(terms())("<p>two breakers</p>") == []
    assert [term.name for term in FirstUses(terms())("<p>two breakers</p>")] == ["breaker"]


@pytest.mark.usefixtures("quick_print")
def test_english_is_what_is_printed_unless_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = str(ROOT / "jobs/full-service.yaml")
    main(["build", job, "--out", str(tmp_path)])
    captured = capsys.readouterr()
    assert captured.err == ""
    assert '<html lang="en-US"' in (tmp_path / "full-service-clipboard.pdf").read_text("utf-8")


def test_only_languages_with_a_catalog_are_offered(capsys: pytest.CaptureFixture[str]) -> None:
    assert resources.languages() == ("en", "es")
    with pytest.raises(SystemExit) as left:
        main(["build", "job.yaml", "--language", "qaa"])
    assert left.value.code == 2
    assert "invalid choice: 'qaa'" in capsys.readouterr().err
