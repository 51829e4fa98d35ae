"""A problem in words a maker reads: what, how much, how much is wanted."""

from workbook.problems import Problem
from workbook.units import Unit, show


def sentence(problem: Problem, unit: Unit) -> str:
    """The finding with its numbers in the maker's unit, without a full stop."""
    what = problem.what[:1].upper() + problem.what[1:]
    if problem.is_ is None or problem.wanted is None:
        return what

    def value(v: float) -> str:
        return f"{show(v, unit, fine=True)} {unit}" if problem.unit == "mm" else f"{v:.3g} {problem.unit}".strip()

    return f"{what}: {value(problem.is_)}, {value(problem.wanted)} wanted"
