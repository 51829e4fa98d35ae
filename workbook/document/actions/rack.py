"""Bars, other materials, and what is to be made."""

from dataclasses import replace

from workbook.document.document import Document, Edit, replacing
from workbook.document.queries import free_bar_name, next_place
from workbook.document.records import BarRecord, MaterialRecord, OrderLine, TemplateRecord
from workbook.shop.job import Bar
from workbook.shop.materials import Material


def add_bar(document: Document, bar: Bar, new: str) -> Edit:
    """A kind of bar at the end of the list, under a free name."""
    named = replace(bar, name=free_bar_name(document, bar.name))
    return replacing(document, f"bar {named.name}", [BarRecord(id=new, place=next_place(document, BarRecord), bar=named)])


def change_bar(document: Document, id: str, bar: Bar) -> Edit:  # noqa: A002
    """A bar's sizes, price, count or name, which is made free where another bar has it."""
    record = document.get(id, BarRecord)
    others = Document({key: other for key, other in document.records.items() if key != id})
    named = replace(bar, name=free_bar_name(others, bar.name))
    return replacing(document, f"bar {named.name} changed", [replace(record, bar=named)])


def remove_bar(document: Document, id: str) -> Edit:  # noqa: A002
    """A kind of bar taken off the list."""
    return replacing(document, f"bar {document.get(id, BarRecord).bar.name} removed", [], [id])


def add_material(document: Document, material: Material, new: str) -> Edit:
    """A material at the end of the list."""
    record = MaterialRecord(id=new, place=next_place(document, MaterialRecord), material=material)
    return replacing(document, f"material {material.name}", [record])


def change_material(document: Document, id: str, material: Material) -> Edit:  # noqa: A002
    """A material's name, price or stock."""
    record = document.get(id, MaterialRecord)
    return replacing(document, f"{material.name} changed", [replace(record, material=material)])


def remove_material(document: Document, id: str) -> Edit:  # noqa: A002
    """A material taken off the list."""
    return replacing(document, f"{document.get(id, MaterialRecord).material.name} removed", [], [id])


def order(document: Document, template: str, steel: str, quantity: int, new: str) -> Edit:
    """So many blanks of a template in a steel are to be made; 0: none. `new`: the id of the line if there is none yet."""
    name = document.get(template, TemplateRecord).template.name
    line = next((own for own in document.all(OrderLine) if (own.of, own.steel) == (template, steel)), None)
    if quantity <= 0:
        return replacing(document, f"no {name} of {steel}", [], [line.id] if line else [])
    if line is None:
        line = OrderLine(id=new, place=next_place(document, OrderLine), of=template, steel=steel, quantity=quantity)
    return replacing(document, f"make {quantity} {name} of {steel}", [replace(line, quantity=quantity)])
