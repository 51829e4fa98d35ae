"""What a step of the history did, kept as an id with fields and told in words only when it is shown.

So words, units and languages can change later without touching what is stored. Steps of older workbooks keep their sentence.
"""

from collections.abc import Mapping

from msgspec import Struct, field

Value = str | int | float | bool | None | list["Value"]
SAID = "said"  # the id of a step that is only known by its sentence


class Action(Struct, frozen=True):
    """What was done: its id in the catalogue of `action_words.py`, and what its words need to know (plain JSON values)."""

    id: str
    fields: Mapping[str, Value] = field(default_factory=dict)


def said(words: str) -> Action:
    """A step told by a sentence of its own."""
    return Action(SAID, {"words": words})
