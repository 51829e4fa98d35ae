"""The words of actions on batches and their blades."""

from __future__ import annotations

from workbook.document.words.telling import Fields, Words
from workbook.texts import _


def _given(fields: Fields) -> str:
    return fields.tell(_("{blade} is now for order {order:n}") if fields.value("order") else _("{blade} is now shop stock"))


def _done(fields: Fields) -> str:
    if fields.value("minutes"):
        return fields.tell(_("{batch}: {stage}, {count:n blade|blades}, {minutes:n} min"))
    return fields.tell(_("{batch}: {stage}, {count:n blade|blades}"))


MAKING: dict[str, Words] = {
    "batch.changed": _("{batch} changed"),
    "blades.added": _("{count:n} {template} added to {batch}"),
    "entry.done": _done,
    "entry.set-up": _("{batch}: {minutes:n} min of set-up for {stage}"),
    "entry.measured": _("{batch}: {blades:few} measured at {stage}"),
    "entry.passed": _("{batch}: {blades:few} passed {stage}: {reason}"),
    "entry.rework": _("{batch}: {blades:few} to repeat {stage}: {reason}"),
    "entry.scrapped": _("{batch}: {blades:few} scrapped at {stage}: {reason}"),
    "entry.sent": _("{batch}: {count:n blade|blades} sent out for {stage}"),
    "entry.back": _("{batch}: {count:n blade|blades} back from {stage}"),
    "entry.note": _("{batch}: note"),
    "entry.taken back": _("{batch}: an entry of {stage} taken back"),
    "load.changed": _("load {load:n} changed"),
    "recipe.kept": _("own heat treatment of {steel} saved"),
    "load.logged": _("load {load:n}: {count:n blade|blades} of {steel} heat-treated"),
    "blade.given": _given,
    "scales.taken": _("{blades:few} got scales"),
    "line.more": _("order {order:n}: start {count:n} more {template}"),
}
