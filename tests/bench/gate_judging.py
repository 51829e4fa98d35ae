"""How the gate judges: what came of two programs, before and after, as rows of a table; less is better."""

from collections.abc import Sequence
from math import comb
from statistics import fmean, median
from typing import NamedTuple

MORE = 1.05  # as often as before may a time be
CHANCE = 0.05  # that a range lies too high
LACKS = ("AttributeError", "ImportError", "ModuleNotFoundError", "TypeError")  # errors of a program without what is asked of it
TITLE = f"{'ms; lengths in mm and money':34} {'before':>9} {'after':>9} {'ratio':>6}  range"

Figures = dict[str, float]  # by name: ms, or what a layout takes


class Measure(NamedTuple):
    """Something to measure, and how it is judged."""

    name: str  # as gate_measures has it
    turns: int  # before, after, before, after ...
    processes: int = 1  # of each program, each with so many turns
    exact: bool = False  # always the same: means are compared, and may not be more


class Outcome(NamedTuple):
    """What came of measuring one program: the figures of each turn, or the last line of what went wrong."""

    turns: tuple[Figures, ...] = ()
    error: str = ""

    def then(self, later: "Outcome") -> "Outcome":
        """Both, one after the other."""
        return Outcome(self.turns + later.turns, later.error)

    def values(self, name: str) -> list[float]:
        """A figure in all turns that have it."""
        return [turn[name] for turn in self.turns if name in turn]

    def names(self) -> list[str]:
        """The figures that were measured, in order."""
        return list(dict.fromkeys(name for turn in self.turns for name in turn))


Pair = tuple[Outcome, Outcome]  # before and after


class Ratio(NamedTuple):
    """A figure as often as before, and the range in which that lies for all the noise there was."""

    middle: float
    low: float
    high: float


class Row(NamedTuple):
    """A line of the table: a figure, or in the mark why there is none."""

    what: str
    before: float | None = None
    after: float | None = None
    ratio: Ratio | None = None
    mark: str = ""
    bad: bool = False

    def line(self) -> str:
        """As it is printed."""
        before, after = (f"{'' if value is None else format(value, '.2f'):>9}" for value in (self.before, self.after))
        shown = f"{self.ratio.middle:6.3f}  {self.ratio.low:.2f} to {self.ratio.high:.2f}" if self.ratio else " " * 20
        return f"{self.what:34} {before} {after} {shown}  {self.mark}".rstrip()


def ratio_of(before: Sequence[float], after: Sequence[float]) -> Ratio:
    """The median of the turns' ratios, each of neighbours in time, and its range by the sign test: it needs no kind of noise."""
    ratios = sorted(new / old for old, new in zip(before, after, strict=True))
    cut, n = 0, len(ratios)
    while cut < (n - 1) // 2 and sum(comb(n, k) for k in range(cut + 2)) <= CHANCE * 2**n:
        cut += 1
    return Ratio(median(ratios), ratios[cut], ratios[n - 1 - cut])


def row_of(measure: Measure, name: str, pair: Pair) -> Row:
    """A figure's row: bad where it is more than it may be, and not by chance."""
    before, after = (outcome.values(name) for outcome in pair)
    what, middle = f"{measure.name}: {name}", fmean if measure.exact else median
    if not before or not after:
        return Row(what, *(middle(own) if own else None for own in (before, after)), mark="gone" if before else "new")
    ratio = ratio_of([fmean(before)], [fmean(after)]) if measure.exact else ratio_of(before, after)
    bad = ratio.middle > 1 + 1e-9 if measure.exact else ratio.middle > MORE and ratio.low > 1
    return Row(what, middle(before), middle(after), ratio, "WORSE" if bad else "", bad)


def rows(measure: Measure, older: str, pair: Pair, again: Pair | None = None) -> list[Row]:
    """The table's rows of a measure. `older`: what the program before is called; `again`: measured with more turns."""
    failed = [row for found in (pair, again or pair) for row in failures(measure, older, found)]
    if failed:
        return failed[:1]
    names = dict.fromkeys([*pair[1].names(), *pair[0].names()])
    return [_settled(measure, name, row_of(measure, name, pair), again) for name in names]


def failures(measure: Measure, older: str, pair: Pair) -> list[Row]:
    """The row of a measure that did not run. Where only the program before lacks what it takes, nothing is bad."""
    before, after = (outcome.error for outcome in pair)
    if after:
        return [Row(measure.name, mark=f"failed: {after}", bad=True)]
    if before.startswith(LACKS):
        return [Row(measure.name, mark=f"new: cannot be measured at {older}: {before}")]
    return [Row(measure.name, mark=f"failed at {older}: {before}", bad=True)] if before else []


def _settled(measure: Measure, name: str, row: Row, again: Pair | None) -> Row:
    """The row, or for one that seemed worse what came of measuring again."""
    if not row.bad or again is None:
        return row
    later = row_of(measure, name, again)
    mark = f"{later.mark or 'not worse'}, measured again in {len(again[0].values(name))} turns (at first {row.ratio.middle:.3f})"
    return later._replace(mark=mark)


def verdict(table: Sequence[Row]) -> str:
    """The last words: what is worse or failed, by name."""
    bad = [f"  {row.what}: {f'{row.ratio.middle:.3f} of before' if row.ratio else row.mark}" for row in table if row.bad]
    return "\n".join(["Worse than before, or failed:", *bad]) if bad else "Nothing is worse."
