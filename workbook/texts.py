"""What people read, in the language of the program: each text stands in English where it is used, and a catalogue has it in
another language (gettext).

A text is a whole sentence or a label, with named fields for what differs, so that each language may order them as it must. The
language is that of the process, helpers included: tables of texts may be made while modules are imported. Dates and amounts are
in the catalogue too, by their form, so that a file from a command is the same as one from the window.
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
    from collections.abc import Mapping
    from datetime import date
    from decimal import Decimal
else:
    gettext = library("gettext")

CATALOGUE = "MAKERS_WORKBOOK_CATALOGUE"  # names the file (.mo) of the language; without it the texts are in English


def _read(path: str) -> gettext.NullTranslations | None:
    """The catalogue in a file; None, and the reason on the terminal, where it cannot be read."""
    try:
        with Path(path).open("rb") as file:
            found = gettext.GNUTranslations(file)
        found.ngettext("", "", 2)  # its rule for numbers is tried, too
        return found
    except (OSError, ValueError, LookupError, ArithmeticError, struct.error) as error:
        print(f"{CATALOGUE}: {path} is no catalogue that can be read ({error}); texts are in English.", file=sys.stderr)
        return None


_catalogue = _read(os.environ[CATALOGUE]) if os.environ.get(CATALOGUE) else None


def _(text: str, /, **fields: object) -> str:
    """A text in the language of the program, with its fields filled in. Without fields, braces in it stay."""
    told = text if _catalogue is None else _catalogue.gettext(text)
    return _filled(told, text, fields) if fields else told


def ngettext(one: str, many: str, count: int, /, **fields: object) -> str:
    """The same of a text that differs by a number, which is its field `count`."""
    english = one if count == 1 else many
    told = english if _catalogue is None else _catalogue.ngettext(one, many, count)
    return _filled(told, english, {"count": count, **fields})


def _filled(told: str, english: str, fields: Mapping[str, object]) -> str:
    """A text with its fields; the English one where a translation has others."""
    try:
        return told.format(**fields)
    except (LookupError, ValueError):
        return english.format(**fields)


def day(when: date) -> str:
    """A date as a letter says it: 12 December 2026."""
    return _("{day} {month} {year}", day=when.day, month=_month(when.month), year=when.year)


def _month(number: int) -> str:
    names = (
        _("January"), _("February"), _("March"), _("April"), _("May"), _("June"), _("July"), _("August"), _("September"),
        _("October"), _("November"), _("December"),
    )  # fmt: skip
    return names[number - 1]


def decimals(amount: Decimal) -> str:
    """An amount of money with its two decimals: 1952.00."""
    mark = _("1.5")[1]  # the sign between ones and tenths, as a translation of one and a half has it
    return f"{amount:.2f}".replace(".", mark)
