"""What a knife takes besides steel: handle materials, pins and bolts, what is used up; with prices and what lies there."""

from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from workbook.shop.money import NOTHING


class MaterialKind(StrEnum):
    """What a material is for."""

    HANDLE = "handle"
    PIN = "pin"
    BOLT = "bolt"
    TUBE = "tube"
    ADHESIVE = "adhesive"
    ABRASIVE = "abrasive"
    OTHER = "other"


class Material(Struct, frozen=True, kw_only=True):
    """A material as it is bought and counted: `per` is the word for one of it ("pair", "piece", "ft", "kit")."""

    name: str
    kind: MaterialKind
    per: str = "piece"
    price: Decimal = NOTHING  # for one
    have: float = 0.0
    low: float = 0.0  # below this it is to be bought; 0: never said
    knife: float = 0.0  # of it a knife takes; of a handle material 0 stands for one
    size: float = 0.0  # mm: diameter of a pin, bolt or tube; thickness of a scale or sheet; 0: not said
    width: float = 0.0  # mm, of a sheet or block
    length: float = 0.0  # mm, of one: a rod, sheet or block
    kept_at: str = ""

    @property
    def short(self) -> bool:
        """Whether less of it lies there than the maker wants to have."""
        return self.have < self.low
