"""A problem in words: what is wrong, the measured value, and the value wanted."""

from workbook.problems import Problem
from workbook.units import Unit, show


def sentence(problem: Problem, unit: Unit) -> str:
    """The finding with its numbers in the maker's unit, without a full stop."""
    return f"{finding(problem)}{numbers(problem, unit)}"


def finding(problem: Problem) -> str:
    """The text of a problem, with a capital letter."""
    return problem.what[:1].upper() + problem.what[1:]


def numbers(problem: Problem, unit: Unit) -> str:
    """The measured value and the one wanted, ": 0.12 in, 0.25 in wanted"; "" where a problem has no numbers."""
    if problem.is_ is None:
        return ""

    def value(v: float) -> str:
        return f"{show(v, unit, fine=True)} {unit}" if problem.unit == "mm" else f"{v:.3g} {problem.unit}".strip()

    target = "" if problem.wanted is None else f", {value(problem.wanted)} {problem.word}"
    return f": {value(problem.is_)}{target}"
