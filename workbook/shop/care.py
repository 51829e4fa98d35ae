"""How a knife is to be cared for, by its steel's composition and by what its handle is made of. The advice is common practice, no
source, but for what counts as stainless.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct

from workbook.shop.steels import Steels
from workbook.texts import _

_STAINLESS_CHROMIUM, _STAINLESS_CARBON = 10.5, 1.2  # per cent: at least, at most; EN 10088-1, ISO 15510


class Rusting(StrEnum):
    """How a steel stands up to water."""

    STAINLESS = "stainless"
    SLOW = "slow"  # as much chromium, but too much carbon
    RUSTS = "rusts"
    UNKNOWN = "unknown"


class HandleKind(StrEnum):
    """What a handle is made of, as far as its care goes."""

    WOOD = "wood"
    STABILIZED = "stabilized"
    LAMINATE = "laminate"
    HORN = "horn"
    LEATHER = "leather"
    METAL = "metal"
    OTHER = "other"


_WORDS: tuple[tuple[HandleKind, tuple[str, ...]], ...] = (  # the first that a name has a word of, or begins with
    (HandleKind.STABILIZED, ("stabil",)),
    (HandleKind.LAMINATE, ("laminate", "phenol", "g10", "g-10", "fr4", "fr-4", "fiber", "fibre", "resin", "acryl", "epoxy",
                           "linen", "canvas", "paper", "glass")),
    (HandleKind.HORN, ("horn", "bone", "antler", "stag", "ivory", "shell", "tusk", "tooth")),
    (HandleKind.LEATHER, ("leather", "hide", "rawhide")),
    (HandleKind.METAL, ("brass", "bronze", "copper", "titanium", "alumin", "steel", "nickel")),
    (HandleKind.WOOD, ("wood", "burl", "oak", "ash", "elm", "yew", "maple", "walnut", "cherry", "birch", "beech", "hickory",
                       "locust", "osage", "mesquite", "cocobolo", "persimmon", "pecan", "plum", "pear", "olive", "box", "ebony",
                       "hornbeam", "sweetgum", "apple", "cedar", "juniper")),
)  # fmt: skip
STEEL_CARE = {
    Rusting.STAINLESS: _("Stainless steel stains less, but salt and acid left on it pit it. Wash it by hand and dry it."),
    Rusting.SLOW: _("This steel is slow to rust, but it is not stainless. Wash it by hand, dry it at once, oil it for storage."),
    Rusting.RUSTS: _(
        "This steel rusts. Wash it by hand, dry it at once, and wipe it with food-safe oil before it is put away. A gray or "
        "blue film is normal and protects it. Red rust is not: rub it off and oil the place."
    ),
    Rusting.UNKNOWN: _("Wash it by hand, dry it at once, and wipe it with food-safe oil before it is put away."),
}
HANDLE_CARE = {
    HandleKind.WOOD: _("Wooden handle: never soak it. Rub in oil or wax when it looks dry."),
    HandleKind.STABILIZED: _("Handle of stabilized wood: never soak it. A little wax now and then is enough."),
    HandleKind.LAMINATE: _("Handle of resin laminate: wash and dry it. It needs no oil. Keep it from heat and solvents."),
    HandleKind.HORN: _("Handle of horn, bone or shell: no hot water, no heat, no long sun. A little oil now and then."),
    HandleKind.LEATHER: _("Leather handle: keep it dry. Leather dressing now and then."),
    HandleKind.METAL: _("Metal handle: wash and dry it. It gets slippery when wet."),
    HandleKind.OTHER: _("Handle: never soak it, keep it from heat."),
}
USE = (
    _("Never in the dishwasher: heat, salt and knocks harm edge and handle."),
    _("Cut on wood or soft plastic, never on glass, stone or metal."),
    _("Not for bone, frozen food, cans, prying or throwing: the edge is thin and hard."),
    _("Sharpen it on stones, a little and often. Pull-through sharpeners tear the edge."),
    _("Store it dry with its edge covered, not in a leather sheath. Keep it out of children's reach. Cut away from yourself."),
)
LAW = _("Carrying a knife is ruled by law, which differs by place. Check your local law.")


class Care(Struct, frozen=True):
    """What to tell the owner of a knife."""

    steel: Rusting
    handle: HandleKind

    @property
    def lines(self) -> tuple[str, ...]:
        """All advice, that for its own steel and handle first."""
        return STEEL_CARE[self.steel], HANDLE_CARE[self.handle], *USE


def rusting(steel: str, steels: Steels, composition: Iterable[Mapping[str, str]]) -> Rusting:
    """How a steel stands up to water, by its chromium and carbon in a table of compositions, of which the least chromium and the
    most carbon count; a steel that no row has is unknown.
    """
    named = steels.named(steel)
    row = next((each for each in composition if named is not None and named in steels.in_cell(each["steel"])), None)
    if row is None:
        return Rusting.UNKNOWN
    chromium = min(_percents(row["Cr"]), default=0.0)
    if chromium < _STAINLESS_CHROMIUM:
        return Rusting.RUSTS
    return Rusting.STAINLESS if max(_percents(row["C"]), default=0.0) <= _STAINLESS_CARBON else Rusting.SLOW


def _percents(cell: str) -> Sequence[float]:
    """The numbers of a cell before its brackets: ".95-1.20", "1.00 max"."""
    found = [float(number) for number in re.findall(r"\d*\.?\d+", cell.partition("(")[0])]
    return [0.0, *found] if "max" in cell.partition("(")[0] else found


def handle_kind(material: str) -> HandleKind:
    """What a handle material is, by the words of its name."""
    words = re.findall(r"[\w-]+", material.casefold())
    return next((kind for kind, stems in _WORDS if any(_tells(word, stem) for word in words for stem in stems)), HandleKind.OTHER)


def _tells(word: str, stem: str) -> bool:
    """Whether a word is a stem or its plural, ends in one ("ironwood"), or holds a long one ("stabilized"); not "hornbeam"."""
    return word in (stem, f"{stem}s") or (len(stem) > 3 and word.endswith(stem)) or (len(stem) > 4 and stem in word)
