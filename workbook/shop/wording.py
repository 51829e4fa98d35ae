"""A problem in words: what is wrong, the measured value, and the value wanted."""

from workbook.problems import Problem
from workbook.texts import _, labelled
from workbook.units import Unit, show


def sentence(problem: Problem, unit: Unit) -> str:
    """The finding with its numbers in the maker's unit, without a full stop."""
    told = _figures(problem, unit)
    return labelled(finding(problem), told) if told else finding(problem)


def finding(problem: Problem) -> str:
    """The text of a problem, as a sentence begins."""
    return problem.what[:1].upper() + problem.what[1:]


def numbers(problem: Problem, unit: Unit) -> str:
    """The end of its sentence, which is shown whole where its beginning is shortened: ": 0.12 in, 0.25 in wanted", or ""."""
    told = _figures(problem, unit)
    return labelled("", told) if told else ""


def _figures(problem: Problem, unit: Unit) -> str:
    """The measured value and the one wanted; "" where a problem has no numbers."""
    if problem.is_ is None:
        return ""

    def value(v: float) -> str:
        return f"{show(v, unit, fine=True)} {unit}" if problem.unit == "mm" else f"{v:.3g} {problem.unit}".strip()

    if problem.wanted is None:
        return value(problem.is_)
    if problem.nearest:
        return _("{measured} (nearest you own: {wanted})", measured=value(problem.is_), wanted=value(problem.wanted))
    return _("{measured}, {wanted} wanted", measured=value(problem.is_), wanted=value(problem.wanted))
