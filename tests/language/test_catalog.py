"""The catalogs: up to date with the texts, every place for a value kept, nothing passed by."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po
from jinja2 import Environment

from packet import resources
from packet.language import read_catalog
from tests.language.pseudo import KEPT, ROOT, catalog_command, pseudo, worded

CATALOGS = {name: resources.catalog_file(name) for name in resources.languages()[1:]}
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
MODULES = sorted((ROOT / "packet").rglob("*.py"))


# ------------------------------------------------------------------------- up to date


@pytest.mark.parametrize("name", CATALOGS)
def test_a_catalog_has_every_text_of_today_and_no_other(name: str) -> None:
    """Otherwise run: .venv/bin/python .ci/catalog.py"""
    path = CATALOGS[name]
    assert catalog_command().brought_up_to_date(path, name) == path.read_text("utf-8")


def test_a_text_that_is_missing_changed_or_gone_is_noticed(tmp_path: Path) -> None:
    path = tmp_path / "packet.po"
    whole = catalog_command().brought_up_to_date(path, "es")
    for old in (whole.replace('msgid "Shopping list"', 'msgid "Shoping list"'), whole + STALE):
        path.write_text(old, "utf-8")
        assert catalog_command().brought_up_to_date(path, "es") == whole


def test_a_changed_sentence_keeps_its_old_translation_as_a_proposal(tmp_path: Path) -> None:
    path = tmp_path / "packet.po"
    whole = catalog_command().brought_up_to_date(path, "es")
    old = whole.replace(
        'msgid "Shopping list"\nmsgstr ""', 'msgid "Shopping lists"\nmsgstr "Lista"'
    )
    assert old != whole
    path.write_text(old, "utf-8")
    path.write_text(catalog_command().brought_up_to_date(path, "es"), "utf-8")
    assert '#, fuzzy\nmsgid "Shopping list"\nmsgstr "Lista"' in path.read_text("utf-8")
    assert read_catalog(path, "es").catalog.gettext("Shopping list") == "Shopping list"


STALE = '\n#: templates/gone.html\nmsgid "Nobody says this"\nmsgstr "Nadie"\n'


# --------------------------------------------------------------------- places for values


def places(text: str) -> Counter[str]:
    """Return what a translation must keep: places for values, conditions, tags, marked verbs."""
    kept = [worded(match[0], lambda _: "") for match in KEPT.finditer(text)]
    return Counter([*kept, *re.findall(r"\*\*", text)])


def translation_faults(message: Message) -> list[str]:
    """Return what a translation lost, added or broke."""
    if not message.string or message.fuzzy:
        return []
    ids = message.id if isinstance(message.id, tuple | list) else (message.id,)
    strings = message.string if isinstance(message.string, tuple | list) else (message.string,)
    faults = [
        f"`{text}` does not keep the places of `{ids[-1]}`"
        for text in strings
        if text and places(text) not in [places(one) for one in ids]
    ]
    for text in strings:
        try:
            Environment().parse(text)  # noqa: S701 - parsed, never rendered
        except Exception as fault:
            faults.append(f"`{text}` is no text that can be filled in: {fault}")
    return faults


@pytest.mark.parametrize("name", CATALOGS)
def test_every_translation_keeps_the_places_of_its_text(name: str) -> None:
    with CATALOGS[name].open("rb") as file:
        catalog = read_po(file, locale=name)
    assert [
        fault for message in catalog if message.id for fault in translation_faults(message)
    ] == []


@pytest.mark.parametrize(
    ("text", "translation"),
    [
        ("Wire of {{ v('x.size') }}", "Cable de {{ v('x.length') }}"),
        ("Wire of {{ v('x.size') }}", "Cable"),
        ("Page %(page)s of %(pages)s", "Página %(page)s de %(page)s"),
        ("Rule {number}: {text}", "Regla {numero}: {text}"),
        ("**Look** inside.", "Mire adentro."),
        ("<b>Tick</b> it", "<b>Marque lo"),
        ("{% if remedy %}More{% endif %}", "{% if remedy %}Más"),
    ],
)
def test_a_lost_place_is_caught(text: str, translation: str) -> None:
    assert translation_faults(Message(text, translation))


def test_the_made_up_language_keeps_every_place() -> None:
    forms = [form for text in catalog_command().texts() for form in text.forms]
    assert len(forms) > 1000
    assert [f for text in forms for f in translation_faults(Message(text, pseudo(text)))] == []


def test_words_that_an_expression_chooses_among_are_translated() -> None:
    text = "{{ 'Main off.' if fact('is_service') else 'Feeder off.' }} Stay {{ v(\"reach\") }} off."
    assert pseudo(text) == (
        "{{ 'Máííñ óff.' if fact('is_service') else 'Féééďéŕ óóff.' }}"
        ' Šţááý {{ v("reach") }} óff.'
    )


# ------------------------------------------------------------------- nothing passed by


NO_TEXT = re.compile(
    r"\{\#.*?\#\} | \{%\ trans.*?endtrans\ %\} | \{[{%].*?[}%]\} | <(?:[^<>\"]|\"[^\"]*\")*>",
    re.VERBOSE | re.DOTALL,
)
ATTRIBUTE = re.compile(r"[\w-]+=\"[^\"]*\"")
CALL = re.compile(r"\b(?:_|pgettext)\((?:\"[^\"]*\"(?:, )?)+")


def bare_words(template: str) -> list[str]:
    """Return the words of a template that pass no catalog."""
    rest = ATTRIBUTE.sub("", NO_TEXT.sub("\n", template))
    return [word for word in re.findall(r"[^\W\d_]{2,}", rest) if word not in ("mm", "DOCTYPE")]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_every_word_of_a_template_passes_a_catalog(path: Path) -> None:
    assert bare_words(path.read_text("utf-8")) == []


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_every_caption_in_an_expression_passes_a_catalog(path: Path) -> None:
    assert literal_captions(path.read_text("utf-8")) == []


def literal_captions(template: str) -> list[str]:
    """Return the texts between quotation marks, inside of expressions, that pass no catalog."""
    rest = re.sub(r"\{%\s*(?:include|from|import)[^%]*%\}", "", template)
    expressions = re.findall(r"\{[{%](.*?)[}%]\}", rest, re.DOTALL)
    quoted = [
        text for one in expressions for text in re.findall(r"\"([^\"]*)\"", CALL.sub("", one))
    ]
    return [text for text in quoted if re.match(r"[A-Z]\w", text)]


@pytest.mark.parametrize(
    "template", ["<p>Keep shut</p>", "{{ x }} and {{ y }}", '<a title="{{ z }}">go</a>']
)
def test_a_bare_word_is_caught(template: str) -> None:
    assert bare_words(template)


def test_a_bare_caption_is_caught() -> None:
    assert literal_captions('{{ blank({"caption": "Permit number", "unit": ""}) }}')
    assert literal_captions('{{ blank({"caption": _("Permit number"), "unit": ""}) }}') == []


@pytest.mark.parametrize("path", sorted((ROOT / "styles").glob("*.css")), ids=lambda p: p.stem)
def test_no_word_stands_in_a_style(path: Path) -> None:
    assert words_of_style(path.read_text("utf-8")) == []


def words_of_style(style: str) -> list[str]:
    contents = re.findall(r"content:([^;}]*)", style)
    return [s for c in contents for s in re.findall(r'"([^"]*)"', c) if re.search(r"[a-z]", s)]


def test_a_word_in_a_style_is_caught() -> None:
    assert words_of_style('p::after { content: "Page " counter(page) }')
    assert words_of_style('p::after { content: leader(".") "\\A" string(stamp) }') == []


SPEAKERS = {"said", "counted", "word", "subject", "term", "texts", "library", "yes_or_no", "show"}


def worded_at_import(source: str) -> list[str]:
    """Return what a module words while it is imported, in whatever language that is."""
    found: list[str] = []
    for statement in ast.parse(source).body:
        if isinstance(statement, ast.FunctionDef | ast.ClassDef | ast.If):
            continue
        for node in ast.walk(statement):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                found += [name] if name in SPEAKERS else []
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT / "packet")))
def test_nothing_is_worded_while_a_module_is_imported(path: Path) -> None:
    """Such a text would stay in the language of the first packet for the whole process."""
    assert worded_at_import(path.read_text("utf-8")) == []


def test_a_text_worded_at_import_is_caught() -> None:
    assert worded_at_import('SPARE = words.word("panel.empty_space").label') == ["word"]
