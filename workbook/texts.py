"""Texts for people, in the language of the program: each text stands in English where it is used, and a catalogue translates it
(gettext).

A text is a whole sentence or a label, with named fields for what varies, so that each language can order them as it needs. The
language is fixed for a process and those it starts: tables of texts may be built while modules are imported. The forms of dates
and amounts are in the catalogue too, so that a file from a command is the same as one from the window.
"""

from __future__ import annotations

import os
import struct
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.later import library

if TYPE_CHECKING:
    import gettext
    from collections.abc import Mapping, Sequence
else:
    gettext = library("gettext")

CATALOGUE = "MAKERS_WORKBOOK_CATALOGUE"  # names the file (.mo) of the language; without it the texts are in English
_catalogue: gettext.NullTranslations | None = None  # read at the end, since what is told of a bad one is a text, too


def _read(path: str) -> gettext.NullTranslations | None:
    """Read the catalogue in a file; None, with the reason on the terminal, where it cannot be read."""
    try:
        with Path(path).open("rb") as file:
            catalogue = gettext.GNUTranslations(file)
        catalogue.ngettext("", "", 2)  # tests its plural rule, too
        return catalogue
    except (OSError, ValueError, LookupError, ArithmeticError, struct.error) as error:
        words = _("{path} cannot be read as a catalog ({error}). Texts are in English.", path=path, error=error)
        print(labelled(CATALOGUE, words), file=sys.stderr)
        return None


def use(path: str) -> None:
    """Use the catalogue in a file from now on; texts that are in tables already stay as they are."""
    global _catalogue
    _catalogue = _read(path)


def _(text: str, /, **fields: object) -> str:
    """A text in the language of the program, with its fields filled in. Without fields, braces in it are kept."""
    translated = text if _catalogue is None else _catalogue.gettext(text)
    return _filled(translated, text, fields) if fields else translated


def language() -> str:
    """The code of the language of the program, as its catalogue names it; "" for English."""
    return "" if _catalogue is None else _catalogue.info().get("language", "")


def of_file(text: str) -> str:
    """A text of a shipped file, such as a paragraph of the help, in the language of the program."""
    return text if _catalogue is None else _catalogue.gettext(text)


def ngettext(one: str, many: str, count: int, /, **fields: object) -> str:
    """The same for a text with a singular and a plural; the number is its field `count`."""
    english = one if count == 1 else many
    translated = english if _catalogue is None else _catalogue.ngettext(one, many, count)
    return _filled(translated, english, {"count": count, **fields})


def _filled(translated: str, english: str, fields: Mapping[str, object]) -> str:
    """Fill in the fields of a text; of the English one where a translation has other fields."""
    try:
        return translated.format(**fields)
    except (LookupError, ValueError):
        return english.format(**fields)


def listing(items: Sequence[str]) -> str:
    """Items within a sentence: "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return _("{items} and {last}", items=", ".join(items[:-1]), last=items[-1])


def labelled(label: str, value: object) -> str:
    """What something is called, and what it is: "Saw kerf: 1/32 in"."""
    return _("{label}: {value}", label=label, value=value)


def month(number: int) -> str:
    """The name of a month, counted from 1."""
    names = (
        _("January"), _("February"), _("March"), _("April"), _("May"), _("June"), _("July"), _("August"), _("September"),
        _("October"), _("November"), _("December"),
    )  # fmt: skip
    return names[number - 1]


def short_month(number: int) -> str:
    """The name of a month as in a table."""
    names = (
        _("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun"), _("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec"),
    )  # fmt: skip
    return names[number - 1]


if os.environ.get(CATALOGUE):
    _catalogue = _read(os.environ[CATALOGUE])
