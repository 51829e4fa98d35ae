"""The materials of a knife besides steel: handle materials, pins, bolts and consumables, with prices and stock."""

from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from workbook.shop.money import NOTHING
from workbook.texts import _


class MaterialKind(StrEnum):
    """What a material is for; the size of the material of a guard, bolster, liner or sheath is its thickness."""

    HANDLE = "handle"
    PIN = "pin"
    BOLT = "bolt"
    TUBE = "tube"
    GUARD = "guard"
    BOLSTER = "bolster"
    LINER = "liner"
    SHEATH = "sheath"
    ADHESIVE = "adhesive"
    ABRASIVE = "abrasive"
    OTHER = "other"


MATERIAL_WORDS = {
    MaterialKind.HANDLE: _("handle"),
    MaterialKind.PIN: _("pin"),
    MaterialKind.BOLT: _("bolt"),
    MaterialKind.TUBE: _("tube"),
    MaterialKind.GUARD: _("guard"),
    MaterialKind.BOLSTER: _("bolster"),
    MaterialKind.LINER: _("liner"),
    MaterialKind.SHEATH: _("sheath"),
    MaterialKind.ADHESIVE: _("adhesive"),
    MaterialKind.ABRASIVE: _("abrasive"),
    MaterialKind.OTHER: _("other"),
}


class Material(Struct, frozen=True, kw_only=True):
    """A material as it is bought and counted: `per` is its unit ("pair", "piece", "ft", "kit")."""

    name: str
    kind: MaterialKind
    per: str = "piece"
    price: Decimal = NOTHING  # for one
    have: float = 0.0
    low: float = 0.0  # buy when there is less; 0: not set
    knife: float = 0.0  # amount a knife takes; 0 stands for one of a handle material
    size: float = 0.0  # mm: diameter of a pin, bolt or tube; thickness of anything else; 0: not given
    width: float = 0.0  # mm, of a sheet or block
    length: float = 0.0  # mm, of one: a rod, sheet or block
    kept_at: str = ""

    @property
    def short(self) -> bool:
        """Whether less is in stock than the maker wants to keep."""
        return self.have < self.low
