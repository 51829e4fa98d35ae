"""The action of a step of the history, stored as an id with fields and put into words only when shown.

So words, units and languages can change later without touching stored data. Steps of older workbooks keep their sentence.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from typing import Any

from msgspec import Struct, field

from workbook.texts import _

Value = str | int | float | bool | None | list["Value"]
SAID = "said"  # the id of a step stored as a sentence only


class Action(Struct, frozen=True):
    """What was done: its id in the catalogue of `action_words.py`, and the fields of its words (plain JSON values)."""

    id: str
    fields: Mapping[str, Value] = field(default_factory=dict)

    def of(self, **whose: Value) -> Action:
        """The same action with more fields, such as the template's name; its own fields take precedence."""
        return Action(self.id, {**whose, **self.fields})


def said(words: str) -> Action:
    """The action of a step of an older workbook, told by its own sentence."""
    return Action(SAID, {"words": words})


def plain(value: Any) -> Value:
    """Convert a record's value for an action: money and choices to text, tuples to lists. TypeError for other types."""
    if isinstance(value, Enum):
        return plain(value.value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, tuple | list):
        return [plain(each) for each in value]
    if value is None or isinstance(value, str | int | float):
        return value
    raise TypeError(_("{name} is not plain", name=type(value).__name__))
