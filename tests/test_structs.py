"""Structs with some fields changed."""

import pytest
from msgspec import Struct

from workbook.structs import replace


class _Bar(Struct, frozen=True, kw_only=True):
    width: float
    steel: str = "O1"

    def __post_init__(self) -> None:
        if self.width < 0:
            raise ValueError("a width is not negative")


def test_the_others_stay():
    assert replace(_Bar(width=30.0, steel="1084"), width=40.0) == _Bar(width=40.0, steel="1084")


def test_what_a_struct_does_not_take_it_does_not_take_then_either():
    with pytest.raises(ValueError, match="not negative"):
        replace(_Bar(width=30.0), width=-1.0)
    with pytest.raises(TypeError):
        replace(_Bar(width=30.0), height=1.0)  # type: ignore[call-arg]


def test_it_cannot_be_changed_itself():
    with pytest.raises(AttributeError):
        _Bar(width=30.0).width = 2.0  # type: ignore[misc]
