"""The final check of a layout: shapely measures the outlines exactly as they will be written."""

from collections import Counter
from collections.abc import Iterator

import numpy as np

from workbook.geometry.polygon import Polygon, closest_pair, distance, hull, of_points
from workbook.nesting.fits import ALLOWED, margin_of_tail, missing, on_edges
from workbook.nesting.model import DECIMALS, BarUse, Layout, NestingJob, Piece, written
from workbook.texts import _


def faults(job: NestingJob, layout: Layout) -> list[str]:
    """List all faults of a layout: blanks too close, off the bar, missing or doubled, too many bars used. Empty when sound."""
    bar_faults = [fault for n, use in enumerate(layout.bars, 1) for fault in _bar_faults(job, n, use)]
    return [*bar_faults, *_count_faults(job, layout), *_stock_faults(job, layout), *_kept_faults(job, layout)]


def outline(job: NestingJob, piece: Piece) -> Polygon:
    """The shape that must keep its distance: the outline as written less its openings, or its hull where cuts are straight."""
    openings = [np.round(piece.placement().points(ring), DECIMALS) for ring in job.parts[piece.part].openings]
    shape = of_points(written(job, piece), openings)
    return hull(shape) if job.hulls else shape


def _bar_faults(job: NestingJob, number: int, use: BarUse) -> Iterator[str]:
    bar = job.stock[use.stock]
    shapes = [outline(job, piece) for piece in use.pieces]
    for piece, shape in zip(use.pieces, shapes, strict=True):
        x0, y0, x1, y1 = shape.bounds
        below, above = (job.bar_edge * on for on in on_edges(job, piece.part, piece.angle, mirrored=piece.mirrored))
        along = min(x0, bar.length + bar.beyond - x1) - job.bar_end
        if bar.beyond:
            along = min(along, distance(shape, of_points(missing(bar))) - margin_of_tail(job, use.stock))
        across = min(y0 + below, bar.width - y1 + above) - job.edge(use.stock)
        if min(along, across) < -ALLOWED:
            yield _(
                "bar {number}: {name} is {along:.4f} mm too near the bar's edge",
                number=number,
                name=job.parts[piece.part].name,
                along=-min(along, across),
            )
        if (piece.part, use.stock) not in job.suits:
            yield _("bar {number}: {name} does not suit this bar", number=number, name=job.parts[piece.part].name)
    for a, b in closest_pair(shapes, job.separation - ALLOWED):
        gap = shapes[a].distance(shapes[b])
        if gap < job.separation - ALLOWED:
            yield _(
                "bar {number}: {first} and {second} are {gap:.4f} mm apart (min. {separation:.4f})",
                number=number,
                first=job.parts[use.pieces[a].part].name,
                second=job.parts[use.pieces[b].part].name,
                gap=gap,
                separation=job.separation,
            )


def _count_faults(job: NestingJob, layout: Layout) -> Iterator[str]:
    counted = Counter(piece.part for use in layout.bars for piece in use.pieces)
    counted.update(dict(layout.left_over))
    for index, part in enumerate(job.parts):
        if counted[index] != part.quantity:
            yield _(
                "{name}: {counted} accounted for of {quantity}",
                name=part.name,
                counted=counted[index],
                quantity=part.quantity,
            )


def _stock_faults(job: NestingJob, layout: Layout) -> Iterator[str]:
    for index, uses in Counter(use.stock for use in layout.bars).items():
        count = job.stock[index].count
        if count is not None and uses > count:
            yield _("{name}: {taken} used, {count} on hand", name=job.stock[index].name, taken=uses, count=count)


def _kept_faults(job: NestingJob, layout: Layout) -> Iterator[str]:
    for number, expected in enumerate(job.kept, 1):
        use = layout.bars[number - 1] if number <= len(layout.bars) else None
        if use is None or use.stock != expected.stock:
            yield _("bar {number}: {name} should have stayed", number=number, name=job.stock[expected.stock].name)
        elif Counter(expected.pieces) - Counter(use.pieces):
            yield _("bar {number}: a blank that should have stayed was moved", number=number)
