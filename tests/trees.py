"""The program's code as trees, read once for all tests of it."""

import ast
from functools import cache
from pathlib import Path

import workbook

ROOT = Path(workbook.__file__).parent
FILES = sorted(ROOT.rglob("*.py"))


@cache
def trees():
    """The code of every module: every worker collects these tests, one runs them."""
    return {file: ast.parse(file.read_text(encoding="utf-8")) for file in FILES}


@cache
def nodes():
    """All nodes of every module, walked once."""
    return {file: tuple(ast.walk(tree)) for file, tree in trees().items()}
