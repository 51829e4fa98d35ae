"""A problem in words: what is wrong, the measured value, and the value wanted."""

from workbook.problems import Problem, WantedKind
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
    """The end of its sentence, which is shown whole where its beginning is shortened: ": 0.12 in (min. 0.25 in)", or ""."""
    told = _figures(problem, unit)
    return labelled("", told) if told else ""


def _figures(problem: Problem, unit: Unit) -> str:
    """The measured value and the one wanted; "" where a problem has no numbers."""
    if problem.is_ is None:
        return ""

    def value(v: float) -> str:
        if problem.unit == "deg":
            return f"{v:.3g}°"
        return f"{show(v, unit, fine=True)} {unit}" if problem.unit == "mm" else f"{v:.3g} {problem.unit}".strip()

    measured = value(problem.is_)
    if problem.wanted is None:
        return measured
    wanted = value(problem.wanted)
    if problem.wanted_is is WantedKind.OWNED:
        return _("{measured} (nearest you own: {wanted})", measured=measured, wanted=wanted)
    if problem.wanted_is is WantedKind.EXACT:
        return _("{measured} (needed: {wanted})", measured=measured, wanted=wanted)
    if problem.is_ < problem.wanted:
        return _("{measured} (min. {wanted})", measured=measured, wanted=wanted)
    return _("{measured} (max. {wanted})", measured=measured, wanted=wanted)
