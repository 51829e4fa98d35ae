"""The words of every action: the one place where a step of the history becomes a sentence. `words/` holds them by subject."""

from workbook.document.action import SAID, Action
from workbook.document.words.accounts import ACCOUNTS
from workbook.document.words.making import MAKING
from workbook.document.words.settings import SETTINGS
from workbook.document.words.shop import SHOP
from workbook.document.words.telling import UNTOLD, Fields, Words
from workbook.document.words.templates import TEMPLATES
from workbook.texts import _
from workbook.units import Unit


def _said(fields: Fields) -> str:
    """The stored sentence of a step of an older workbook."""
    words = fields.value("words")
    return words if isinstance(words, str) else UNTOLD


WORDS: dict[str, Words] = {SAID: _said, **TEMPLATES, **SHOP, **MAKING, **ACCOUNTS, **SETTINGS}


def in_words(action: Action, unit: Unit) -> str:
    """An action in words, with lengths in a unit: "Petty: blade length 5 1/2 in".

    An unknown id, such as one of a later version of the program, is shown as it is.
    """
    words = WORDS.get(action.id)
    if words is None:
        return _("{id} (a step of another version of this program)", id=action.id)
    fields = Fields(action.fields, unit)
    return fields.tell(words) if isinstance(words, str) else words(fields)
