"""The choices of the dialog that exports and prints, and what they are at first."""

from typing import Any

from workbook.app.elements.form import ChoiceItem, Heading, Item, SwitchItem
from workbook.document.fields import PAPER_WORDS
from workbook.sheets.template_sheet import PART_WORDS, PARTS
from workbook.tasks.exports import EXPORTS
from workbook.tasks.exports.knives import TELL_WORDS, TELLS
from workbook.texts import _

SETS: dict[str, tuple[str, ...]] = {  # parts of template sheets that are printed for one task
    "all": PARTS,
    "bench": ("right", "fold", "scales", "card"),
    "drill": ("right", "holes"),
    "master": ("master",),
    "sheath": ("sheath",),
}
_SET_WORDS = (
    ("all", _("All at true size")), ("bench", _("Bench set")), ("drill", _("Drill set")), ("master", _("Master template")),
    ("sheath", _("Sheath pattern")),
    ("own", _("As selected below")),
)  # fmt: skip
_BARS_WORDS = (("both", _("to scribe, at true size")), ("scribing", _("to scribe from")), ("true", _("at true size")))
ITEMS: tuple[Item | Heading, ...] = (
    ChoiceItem("what", _("Export"), options=tuple((key, export.words) for key, export in EXPORTS.items())),
    ChoiceItem("which", _("Templates"), options=(("chosen", _("Selected template")), ("all", _("All templates")))),
    ChoiceItem("paper", _("Paper"), options=PAPER_WORDS),
    ChoiceItem("set", _("Set"), options=_SET_WORDS),
    ChoiceItem("bars", _("Sheets"), options=_BARS_WORDS),
    *(SwitchItem(f"part.{part}", words) for part, words in PART_WORDS.items()),
    *(SwitchItem(f"tell.{part}", words) for part, words in TELL_WORDS.items()),
    SwitchItem("mirrored", _("Mirrored, for the back of clear film")),
    SwitchItem("cut_line", _("Cutting line for card")),
    SwitchItem("each", _("One file per bar")),
)
DEFAULTS: dict[str, Any] = {
    "what": "sheets", "which": "chosen", "paper": "", "set": "all", "bars": "both",
    "mirrored": False, "cut_line": False, "each": False,
    **{f"part.{part}": part in PARTS for part in PART_WORDS},
    **{f"tell.{part}": part in TELLS for part in TELL_WORDS},
    **{f"ticked.{name}": ",".join(parts) for name, parts in SETS.items()},  # for each task that the dialog was opened for
}  # fmt: skip
