"""Parse the line a maker types to add blades begun elsewhere: "3 Petty of 52100 at Harden to 2"."""

from collections.abc import Callable, Sequence

from msgspec import Struct

from workbook.shop.entry import EntryError
from workbook.shop.order_entry import order_entry
from workbook.texts import _

BLADES_EXAMPLE = _("3 Petty of 52100 at Harden")
_STEM = 5  # letters by which a word of the trade is known: harden, hardening


class BladesWish(Struct, frozen=True, kw_only=True):
    """The blades in a line; "" and 0 for what it does not say."""

    quantity: int
    template: str
    steel: str = ""
    stage: str = ""  # the first that is still to do
    batch: int = 0  # its number


def blades_line(text: str, templates: Sequence[str], steels: Sequence[str], stages: Sequence[str]) -> BladesWish:
    """Parse blades: how many of which template, then "of" a steel, "at" a stage, "to" a batch's number.

    Raises EntryError, which says what is wrong and what would be right.
    """
    head, batch = _parted(text.strip(), "to", str.isdecimal)
    head, stage = _parted(head, "at", bool)
    wish = order_entry(head, templates, steels)
    if wish.customer or wish.wanted:
        raise EntryError(_("A blade gets its order later. Type only what it is, e.g. {example}", example=BLADES_EXAMPLE))
    found = stage_named(stage, stages) if stage else ""
    return BladesWish(quantity=wish.quantity, template=wish.template, steel=wish.steel, stage=found, batch=int(batch or 0))


def _parted(text: str, word: str, sound: Callable[[str], bool]) -> tuple[str, str]:
    """Split a text at its last `word`, where what follows is sound."""
    before, separator, behind = text.rpartition(f" {word} ")
    return (before, behind.strip()) if separator and sound(behind.strip()) else (text, "")


def stage_named(words: str, stages: Sequence[str]) -> str:
    """The stage that words mean: its name, the beginning of it, or a word with the same stem, the first if any. EntryError."""
    wanted = words.strip().casefold()
    ways = (
        [name for name in stages if name.casefold() == wanted],
        [name for name in stages if name.casefold().startswith(wanted)],
        [name for name in stages if name.casefold().startswith(wanted[:_STEM])],
        [name for name in stages if any(word.startswith(wanted[:_STEM]) for word in name.casefold().split())],
    )
    found = next((names for names in ways if names), [])
    if len(found) == 1:
        return found[0]
    names = ", ".join(stages)
    if found:
        raise EntryError(_("“{words}”: more than one stage has this name. The stages are {names}", words=words, names=names))
    raise EntryError(_("“{words}”: no stage has this name. The stages are {names}", words=words, names=names))
