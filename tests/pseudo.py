"""A language that nobody speaks, of every text in the catalogue: accents, brackets at both ends, 40 % longer. Where a text is cut
off, joined from pieces or outside the catalogue, it shows.
"""

import re
from string import Formatter

from babel.messages import Catalog
from babel.messages.mofile import write_mo

from tests.texts import everything

OPENS, CLOSES = "[", "]"
_ACCENTED = str.maketrans("AEIOUaeiouncyNCY", "ÀÉÎÕÜàéîõüñçýÑÇÝ")
_KEPT = re.compile(r"(\{[^{}]*\}|<[^<>]*>|&\w|%\w|\b\d[\d.]*\b)")  # fields, marks of rich text, letters to press, numbers


def texts():
    """Every text in the catalogue: of one that differs by a number, both forms."""
    return everything()


def pseudo(text):
    """A text in that language; its fields are as they were."""
    parts = _KEPT.split(text)
    told = "".join(part if _KEPT.fullmatch(part) else part.translate(_ACCENTED) for part in parts)
    if not re.search(r"[^\W\d_]", text):
        return told
    return f"{OPENS}{told}{'·' * max(1, round(0.4 * len(text)) - 2)}{CLOSES}"


def fields(text):
    """The names of a text's fields."""
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def write(path):
    """Writes the catalogue of the language."""
    catalogue = Catalog(locale="en")
    for forms in texts():
        told = tuple(map(pseudo, forms))
        catalogue.add(forms if len(forms) > 1 else forms[0], told if len(told) > 1 else told[0])
    with path.open("wb") as file:
        write_mo(file, catalogue)
