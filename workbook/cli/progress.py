"""A progress bar on a terminal: how far, the best so far, and what no layout can beat."""

import sys
import time
from collections.abc import Callable

from workbook.nesting.bounds import area_bound
from workbook.nesting.model import NestingJob, Progress
from workbook.shop.money import NOTHING, Money, priced
from workbook.texts import ngettext

_WIDTH = 24


def bar_of_progress(nesting: NestingJob, money: Money, *, quiet: bool) -> Callable[[Progress, float], None]:
    """A function that shows progress on stderr if that is a terminal, and otherwise does nothing."""
    if quiet or not sys.stderr.isatty():
        return lambda progress, share: None
    bound = priced(area_bound(nesting, [part.quantity for part in nesting.parts]), money)
    shown_at = 0.0

    def show(progress: Progress, share: float) -> None:
        nonlocal shown_at
        done = share >= 1 or progress.done
        if not done and time.monotonic() - shown_at < 0.1:
            return
        shown_at = time.monotonic()
        price = sum((nesting.stock[use.stock].price for use in progress.best.bars), NOTHING)
        full = round(_WIDTH * share)
        told = ngettext(
            "Laying out [{bar}] step {step}: {count} bar, {price}, at best {bound}",
            "Laying out [{bar}] step {step}: {count} bars, {price}, at best {bound}",
            len(progress.best.bars),
            bar="#" * full + "." * (_WIDTH - full),
            step=progress.step,
            price=priced(price, money),
            bound=bound,
        )
        print(f"\r{told}  ", end="", file=sys.stderr)
        if done:
            print(file=sys.stderr)

    return show
