"""Tests reach the window as its users do: by what widgets show and take, not by what they keep to themselves."""

import ast
from functools import cache
from pathlib import Path

TESTS = Path(__file__).parent
MOST = 136  # that are still reached in tests of the window; it may only be lowered


@cache
def privates():
    """Where tests of the window reach a name that another object keeps to itself: file, line and name."""
    found = []
    for file in sorted([*(TESTS / "app").rglob("*.py"), *(TESTS / "journeys").rglob("*.py")]):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and is_private(node.attr) and not of_its_own(node.value):
                found.append((file.relative_to(TESTS).as_posix(), node.lineno, node.attr))
    return found


def is_private(name):
    return name.startswith("_") and not name.endswith("__")


def of_its_own(node):
    """Of the class it stands in, or of a named tuple, whose own names begin so."""
    return isinstance(node, ast.Name) and node.id in ("self", "cls")


def test_no_more_names_are_reached_that_others_keep_to_themselves():
    found = [each for each in privates() if each[2] not in ("_replace", "_asdict")]
    told = "\n".join(f"  {file}:{line} {name}" for file, line, name in found)
    assert len(found) <= MOST, f"Look at what the window shows, or give it a name of its own:\n{told}"
    assert len(found) > MOST - 20, f"Lower MOST to {len(found)}"
