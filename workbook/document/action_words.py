"""The words of every action: the one place where a step of the history becomes a sentence."""

from workbook.document.action import SAID, Action
from workbook.units import Unit


def in_words(action: Action, unit: Unit) -> str:
    """What was done, in words, with lengths in a unit: "Petty: blade length 5 1/2 in". An id nobody knows is told as it is."""
    return str(action.fields.get("words", "")) if action.id == SAID else action.id
