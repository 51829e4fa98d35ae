"""What each test of this folder rests on: a named outside value or an outside implementation, or our own working."""

from importlib import import_module
from pathlib import Path

import pytest

HERE = Path(__file__).parent


def labels():
    """The labels of every test function of the folder, by file and name; a parametrised one is one function."""
    found = {}
    for file in sorted(HERE.glob("test_*.py")):
        for name, thing in vars(import_module(f"tests.external.{file.stem}")).items():
            if name.startswith("test_") and thing.__module__ == f"tests.external.{file.stem}":
                marks = getattr(thing, "pytestmark", [])
                found[file.stem, name] = [mark for mark in marks if mark.name in ("outside", "own_working")]
    return found


@pytest.mark.own_working("the labels themselves")
def test_every_test_says_what_it_rests_on():
    for name, marks in labels().items():
        assert len(marks) == 1, name
        (reason,) = marks[0].args
        assert reason.strip(), name


@pytest.mark.own_working("the labels themselves")
def test_sixty_rest_on_something_outside():
    sources = {name: mark.args[0] for name, marks in labels().items() for mark in marks if mark.name == "outside"}
    assert len(sources) >= 60
    assert not [name for name, source in sources.items() if "memory" in source]
