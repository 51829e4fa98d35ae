"""What a step of the history did, kept as an id with fields and told in words only when it is shown.

So words, units and languages can change later without touching what is stored. Steps of older workbooks keep their sentence.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from typing import Any

from msgspec import Struct, field

from workbook.texts import _

Value = str | int | float | bool | None | list["Value"]
SAID = "said"  # the id of a step that is only known by its sentence


class Action(Struct, frozen=True):
    """What was done: its id in the catalogue of `action_words.py`, and what its words need to know (plain JSON values)."""

    id: str
    fields: Mapping[str, Value] = field(default_factory=dict)

    def of(self, **whose: Value) -> Action:
        """The same, with fields that say whose it is."""
        return Action(self.id, {**whose, **self.fields})


def said(words: str) -> Action:
    """A step told by a sentence of its own: one of an older workbook."""
    return Action(SAID, {"words": words})


def plain(value: Any) -> Value:
    """A value of a record as an action holds it: money and choices as text, several values as a list. TypeError for others."""
    if isinstance(value, Enum):
        return plain(value.value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, tuple | list):
        return [plain(each) for each in value]
    if value is None or isinstance(value, str | int | float):
        return value
    raise TypeError(_("{name} is not plain", name=type(value).__name__))
