"""Which entries of a list a few typed words find: by their own words first, then by other words for the same."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.later import library
from workbook.texts import _

if TYPE_CHECKING:
    import difflib
else:
    difflib = library("difflib")

ALSO = "also"  # property of an action of the menus: the other words it is found by
_SPLIT = re.compile(r"[^\w%:./#°]+")
_SAME, _BEGUN, _ALSO, _ALSO_TOO, _ABOVE, _INSIDE, _MEANT = range(7)  # how well a word fits an entry, the best first
_NEAR, _CLOSE = 3, 0.7
_LONG = 5  # letters of a word that is also looked for inside others: "late" is in every template
_FOREMOST = 3  # of the other words for an entry, the best stand first
_SMALL = frozenset(_("the a an of to my me this with for in on how do i").split())  # words that say nothing of what is meant


class Findable(Struct, frozen=True, kw_only=True):
    """Something that can be found and done."""

    words: str  # as shown: "Template: Delete"
    also: str = ""  # other words for it
    meaning: str = ""  # what it is, in a sentence
    key: str = ""  # of the keyboard
    possible: bool = True  # now; what is not is listed, but cannot be chosen
    way: Callable[[], Callable[[], object] | None]  # looks up what does it now; None where it cannot be done any more


def found(entries: Sequence[Findable], typed: str) -> list[Findable]:
    """The entries that have every typed word, the best first; all of them where nothing is typed."""
    words = [word for word in _split(typed) if word not in _SMALL] or _split(typed)
    ranked = [
        (rank, not entry.possible, index) for index, entry in enumerate(entries) if (rank := _rank(entry, words)) is not None
    ]
    return [entries[index] for *_rest, index in sorted(ranked)]


def partly(entries: Sequence[Findable], typed: str) -> list[Findable]:
    """The entries that have some of the typed words: those with most of them, and then the best, first."""
    words = _split(typed)
    ranked = []
    for index, entry in enumerate(entries):
        fits = [fit for word in words if word not in _SMALL and (fit := _fit(entry, word)) is not None]
        if fits:
            ranked.append((-len(fits), sum(fits), not entry.possible, index))
    return [entries[index] for *_rest, index in sorted(ranked)]


def near(entries: Sequence[Findable], typed: str) -> list[str]:
    """Words of the entries that are spelled much like those typed, none of which is found as it is."""
    known = sorted({word for entry in entries for word in _split(f"{entry.words} {entry.also}") if len(word) > 2})
    return [close for word in _split(typed) for close in difflib.get_close_matches(word, known, n=_NEAR, cutoff=_CLOSE)]


def _split(text: str) -> list[str]:
    return [word.strip(".:/") for word in _SPLIT.split(text.casefold()) if word.strip(".:/")]


def _rank(entry: Findable, typed: Sequence[str]) -> int | None:
    """How well an entry fits, smaller is better; None where a typed word is nowhere in it."""
    fits = [_fit(entry, word) for word in typed]
    known = [fit for fit in fits if fit is not None]
    return sum(known) if len(known) == len(fits) else None


def _fit(entry: Findable, word: str) -> int | None:
    """How well a word fits: an entry's last words count more than the menu or group they stand in, and the first of the other
    words for it more than the rest.
    """
    stem = _stem(word)
    above, _colon, own = entry.words.rpartition(": ")
    also = _split(entry.also)
    places = (
        (_split(own), _SAME, _BEGUN), (also[:_FOREMOST], _ALSO, _ALSO_TOO), (also, _ALSO_TOO, _ALSO_TOO),
        (_split(above), _ABOVE, _ABOVE), (_split(entry.meaning), _MEANT, _MEANT),
    )  # fmt: skip
    fits = [_INSIDE] if len(stem) >= _LONG and stem in entry.words.casefold() else []
    for words, same, begun in places:
        if any(_stem(part) == stem for part in words):
            fits.append(same)
        elif any(part.startswith(stem) for part in words):
            fits.append(begun)
    return min(fits, default=None)


def _stem(word: str) -> str:
    """A word without the s of its plural."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
