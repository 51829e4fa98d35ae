"""What this version of the program computes differently for an older workbook: which of its numbers have changed."""

from collections.abc import Iterable, Iterator

from workbook.document.document import Document
from workbook.document.shop_records import OrderRecord
from workbook.grind.bench import heel
from workbook.model.model import Model
from workbook.shop.densities import Weighed
from workbook.shop.orders import Status
from workbook.template.contour import is_bare
from workbook.template.model import Bevel, Taper, Template
from workbook.texts import _, ngettext

_FAIR = 9  # the version of a workbook's content from which all of this is computed as it is now
_STEEP = 0.995  # cosine of an edge's rise at the heel, below which the edge is slanting
_FEW = 6  # names that are listed


def changed_since(version: int, document: Document, model: Model) -> list[str]:
    """What has changed for a workbook saved in an older version, one sentence each; empty if nothing has."""
    return list(_fair(document, model)) if version < _FAIR else []


def _fair(document: Document, model: Model) -> Iterator[str]:
    blades = [blank for blank in model.shapes.values() if blank.template is not None]
    ground = [t for t in model.job.templates if isinstance(t, Template)]
    over = [blank.name for key, blank in model.shapes.items() if model.in_hand(key).over]
    yield from _told(over, _("cards and sheets are for the bar in hand, which does not have the template's own thickness"))
    high = [blank for blank in blades if blank.template is not None and blank.template.grind.height is not None]
    slanting = [blank.name for blank in high if float(heel(blank, 3.0).upright[0]) < _STEEP]
    yield from _told(
        slanting, _("the bevel's height is measured square to the slanting edge, and so is the rise of the grind line")
    )
    hollow = [t.name for t in ground if t.grind.bevel is Bevel.HOLLOW]
    yield from _told(hollow, _("the wheel's hollow is square to the edge, so it is deeper where the edge rises to the tip"))
    bellied = [blank.name for blank in blades if blank.name not in hollow and heel(blank, 3.0).square.from_nearest]
    yield from _told(bellied, _("the bevel keeps its angle around the belly too, so the grind line runs a little higher there"))
    late = [t.name for t in ground if t.grind.taper is Taper.AFTER and t.blade.point_thickness]
    yield from _told(late, _("the spine before hardening is given as the bevel leaves it"))
    handled = [t.name for t in ground if not is_bare(t.handle) and _weighed_otherwise(model.facts.weighed(t.handle.material))]
    yield from _told(handled, _("mass and balance: woods are weighed at 12% moisture, and materials without a density are named"))
    if model.job.tools.stone and model.job.tools.jig_offset:
        yield _("The rest beside your round stone, with the jig: it was on the wrong side of the blade.")
    if any(order.status is Status.ASKED for order in document.all(OrderRecord)):
        yield (
            _(
                "Costs of orders not quoted yet: their lines share a set-up, spares and losses count as expected, "
                "extras may have a cost."
            )
        )


def _told(names: Iterable[str], change: str) -> Iterator[str]:
    items = list(names)
    if items:
        more, first = len(items) - _FEW, ", ".join(items[:_FEW])
        if more > 0:
            first = ngettext("{names} and {count} more", "{names} and {count} more", more, names=first)
        yield _("{names}: {change}.", names=first, change=change)


def _weighed_otherwise(weighed: Weighed | None) -> bool:
    """Whether a handle material is a wood, or one whose density is unknown or ambiguous."""
    return weighed is None or bool(weighed.others) or weighed.wood
