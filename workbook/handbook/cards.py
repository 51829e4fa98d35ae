"""All cards, and those that some words find."""

from collections.abc import Sequence
from functools import lru_cache

from workbook.handbook.card import CardKind, FactCard
from workbook.handbook.drills import drill_cards, pin_cards
from workbook.handbook.grits import grit_cards
from workbook.handbook.steels import Rows, steel_cards
from workbook.handbook.woods import wood_cards
from workbook.shop.steels import plain_name
from workbook.units import Unit

_MAKERS = {
    CardKind.STEEL: steel_cards,
    CardKind.WOOD: wood_cards,
    CardKind.DRILL: drill_cards,
    CardKind.PIN: pin_cards,
    CardKind.GRIT: grit_cards,
}


@lru_cache(maxsize=16)
def cards_of(kind: CardKind, rows: Rows, unit: Unit) -> tuple[FactCard, ...]:
    """The cards of a kind; `rows` gives the rows of a table."""
    return tuple(_MAKERS[kind](rows, unit))


@lru_cache(maxsize=4)
def cards(rows: Rows, unit: Unit) -> tuple[FactCard, ...]:
    """All cards, by kind."""
    return tuple(card for kind in CardKind for card in cards_of(kind, rows, unit))


def matching(all_cards: Sequence[FactCard], text: str) -> list[FactCard]:
    """The cards that some words find: those of that name, then those with every word in their title or names."""
    words = text.casefold().split()
    if not words:
        return list(all_cards)
    named = [card for card in all_cards if card_named((card,), text) is not None]
    others = [card for card in all_cards if card not in named and all(word in _words(card) for word in words)]
    return [*named, *others]


def card_named(all_cards: Sequence[FactCard], name: str) -> FactCard | None:
    """The first card of a name, spelt in any way: "W.-Nr. 1.2510" is O1."""
    wanted = plain_name(name)
    return next((card for card in all_cards if wanted in _plain_names(card)), None)


@lru_cache(maxsize=2048)
def _plain_names(card: FactCard) -> frozenset[str]:
    return frozenset(plain_name(name) for name in (card.title, *card.names))


@lru_cache(maxsize=2048)
def _words(card: FactCard) -> str:
    return " ".join((card.title, card.also, *card.names)).casefold()
