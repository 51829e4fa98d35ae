"""The catalogue of texts: a language, fields, numbers, dates and amounts; no new text stands outside it."""

import ast
import io
import os
import subprocess
import sys
from string import Formatter

import pytest
from babel.dates import get_month_names
from babel.messages import Catalog
from babel.messages.mofile import write_mo

from tests import pseudo, texts
from tests.trees import ROOT, nodes
from workbook.texts import CATALOGUE, _, listing, ngettext


def in_language(catalogue, code, path, **surroundings):
    """What a program prints that is told a language."""
    with path.open("wb") as file:
        write_mo(file, catalogue)
    return run(code, **{CATALOGUE: str(path)}, **surroundings)


def run(code, **surroundings):
    program = [sys.executable, "-c", code]
    done = subprocess.run(program, env={**os.environ, **surroundings}, capture_output=True, text=True, check=True)
    return done.stdout, done.stderr


def test_without_a_catalogue_a_text_is_in_english():
    assert _("{name} is on the shelf.", name="Petty") == "Petty is on the shelf."
    assert _("A brace { stays, as it is.") == "A brace { stays, as it is."


def test_a_value_with_braces_is_told_as_it_is():
    assert _("{name} is on the shelf.", name="{count}") == "{count} is on the shelf."


@pytest.mark.parametrize(("count", "told"), [(0, "0 bars of 52100"), (1, "1 bar of 52100"), (2, "2 bars of 52100")])
def test_a_number_has_its_form(count, told):
    assert ngettext("{count} bar of {steel}", "{count} bars of {steel}", count, steel="52100") == told


@pytest.mark.parametrize(("items", "told"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")])
def test_items_in_a_sentence(items, told):
    assert listing(items) == told


def test_another_language_orders_fields_counts_and_names_months_as_it_must(tmp_path):
    """German months are Unicode's (CLDR, by Babel)."""
    german = Catalog(locale="de")
    german.add("{name} is on the shelf.", "Im Regal steht {name}.")
    german.add(("{count} bar of {steel}", "{count} bars of {steel}"), ("{count} Stab {steel}", "{count} Stäbe {steel}"))
    months, english = get_month_names(locale="de"), get_month_names(locale="en")
    for number in range(1, 13):
        german.add(english[number], months[number])
    code = """
from workbook.region import region_of
from workbook.texts import _, ngettext
print(_("{name} is on the shelf.", name="Petty"), _("It is not in the catalogue."), sep="|", end="|")
print(*(ngettext("{count} bar of {steel}", "{count} bars of {steel}", n, steel="W2") for n in (1, 2)), sep="|", end="|")
print(region_of("de-DE").day("2026-03-04"))
"""
    told, _wrong = in_language(german, code, tmp_path / "de.mo", PYTHONIOENCODING="utf-8")
    assert told.strip() == "Im Regal steht Petty.|It is not in the catalogue.|1 Stab W2|2 Stäbe W2|4. März 2026"


def catalogue_of(head):
    """The bytes of a catalogue that has nothing but its head."""
    made = io.BytesIO()
    write_mo(made, Catalog(locale="de"))
    content = made.getvalue()
    return content[: content.index(b"Project-Id")] + head.ljust(len(content) - content.index(b"Project-Id"), b"\n")


@pytest.mark.parametrize(
    "content",
    [
        None,
        b"",
        b"no catalogue",
        b"\xde\x12\x04\x95" + bytes(8),
        catalogue_of(b"Content-Type: text/plain; charset=nobodys"),
        catalogue_of(b"Plural-Forms: nplurals=2; plural=n%0;"),
    ],
    ids=["missing", "empty", "words", "cut", "letters", "numbers"],
)
def test_what_is_no_catalogue_is_said_and_texts_are_in_english(tmp_path, content):
    path = tmp_path / "xx.mo"
    if content is not None:
        path.write_bytes(content)
    told, wrong = run('from workbook.texts import _; print(_("Cut"))', **{CATALOGUE: str(path)})
    assert told.strip() == "Cut"
    assert f"{CATALOGUE}: {path} cannot be read as a catalog" in wrong


def test_where_a_translation_has_other_fields_the_text_is_in_english(tmp_path):
    wrong = Catalog(locale="de")
    wrong.add("{name} is on the shelf.", "Im Regal steht {wer}.")
    wrong.add(("{count} bar of {steel}", "{count} bars of {steel}"), ("{count} {stahl}", "{count} Stäbe {"))
    code = """
from workbook.texts import _, ngettext
bars = [ngettext("{count} bar of {steel}", "{count} bars of {steel}", n, steel="W2") for n in (1, 2)]
print(_("{name} is on the shelf.", name="Petty"), *bars, sep="|")
"""
    told, _wrong = in_language(wrong, code, tmp_path / "de.mo")
    assert told.strip() == "Petty is on the shelf.|1 bar of W2|2 bars of W2"


def looked_up(node):
    """What is looked up or opened by its name: a problem's cause, a key, a peg, a file in a folder."""
    if isinstance(node, ast.Call):
        yield from (word.value for word in node.keywords if word.arg in ("cause", "key", "named", "path", "id", "kind"))
        yield from node.args[:1] if isinstance(node.func, ast.Name) and node.func.id == "Peg" else ()
    elif isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "cause":
        yield node.value
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div):
        yield node


def test_what_is_looked_up_is_no_text():
    everything = [(file, node) for file, all_nodes in nodes().items() for node in all_nodes]
    found = [(file, key) for file, node in everything for key in looked_up(node) if brings_a_text(key)]
    assert not found, "\n".join(f"{file.relative_to(ROOT)}:{key.lineno}" for file, key in found)


def brings_a_text(node):
    """Whether a text of the catalogue stands in it."""
    return any(isinstance(each, ast.Call) and getattr(each.func, "id", "") in texts.CALLS for each in ast.walk(node))


def calls():
    """Every place where a text is brought from the catalogue."""
    for file, all_nodes in nodes().items():
        for node in all_nodes:
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in texts.CALLS:
                yield f"{file.relative_to(ROOT)}:{node.lineno}", node


def test_every_text_is_whole_in_the_code_and_has_the_fields_it_names():
    """gettext finds what is written down, not what is put together when the program runs."""
    wrong = []
    for place, node in calls():
        plural = node.func.id == "ngettext"
        forms = node.args[: 1 + plural]
        given = {keyword.arg for keyword in node.keywords} | ({"count"} if plural else set())
        if not all(isinstance(form, ast.Constant) and isinstance(form.value, str) for form in forms):
            wrong.append(f"{place}: the text is not written down here")
            continue
        named = {name for form in forms for _, name, _, _ in Formatter().parse(form.value) if name} if given else given
        named |= {"count"} if plural else set()  # what is listed may stand for it: "orders 1, 3"
        if named != given:
            wrong.append(f"{place}: fields {sorted(named ^ given)}")
    assert not wrong, "\n".join(wrong)


def test_no_new_text_stands_outside_the_catalogue():
    new = texts.outside() - texts.listed()
    told = "\n".join(f"  {module}: {text!r}" for module, text in sorted(new))
    assert not new, f"Put each in _() or ngettext() of workbook/texts.py; what nobody reads, into {texts.OF_NOBODY.name}:\n{told}"


def test_the_list_of_texts_that_nobody_reads_only_shrinks():
    gone = texts.listed() - texts.outside()
    assert not gone, f"Write it anew, python -m tests.texts --write: {len(gone)} stand outside no more, {sorted(gone)[:3]}"


@pytest.mark.parametrize(
    ("code", "seen"),
    [
        ('"Save the work"', "Save the work"),
        ('"Open a copy"', "Open a copy"),
        ('"an A4 sheet"', "an A4 sheet"),
        ('"{layout} dropped"', "{layout} dropped"),
        ('f"{name} saved"', "{} saved"),
        ('_("Saved to {name}", name=f"{name}")', ""),
        ('"plain-key"', ""),
    ],
)
def test_a_text_outside_is_seen(code, seen):
    found = texts.outside_in({ROOT / "x.py": tuple(ast.walk(ast.parse(f"said({code})")))})
    assert [text for _, text in found] == ([seen] if seen else [])


def test_the_pseudo_language_is_longer_and_keeps_fields():
    for forms in pseudo.texts():
        for text in forms:
            told = pseudo.pseudo(text)
            assert pseudo.fields(told) == pseudo.fields(text) if "{" in text else True
            assert len(told) >= 1.4 * len(text) - 1 or not any(letter.isalpha() for letter in text)
