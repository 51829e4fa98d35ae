"""Steps, edits and remedies in words, for tests."""

from workbook.document.action import Action
from workbook.document.action_words import in_words


def words_of(step, unit="in"):
    """What a step of the history, or an edit, did."""
    return in_words(step.action, unit)


def remedy_words(remedy):
    """What a remedy does."""
    return in_words(Action(remedy.id, remedy.fields), "in")
