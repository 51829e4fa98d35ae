"""Everything that can be written of a job: one list for the window's dialog and the command; both write the same bytes."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.problems import JobError, Mistake
from workbook.sheets.bar import BarPlan
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.cut_note import note_draft
from workbook.sheets.furniture import footed
from workbook.sheets.labels import Label, label_pages
from workbook.sheets.paper import Page, Run
from workbook.sheets.printer_page import printer_page
from workbook.sheets.shelf_sheet import shelf_pages
from workbook.sheets.stencil import stencil
from workbook.sheets.template_sheet import PARTS
from workbook.structs import replace
from workbook.tasks.cutting import bar_cut_marks, bars_cut_dxf, cut_dxf, cut_note, cut_svg, ready
from workbook.tasks.layout import Laid, refuse_stopped
from workbook.tasks.load import LoadedJob
from workbook.tasks.results import buy_rows, costs_rows
from workbook.tasks.sheets import bar_plans, bars_dxf, bars_of, card_pages, sheet_pages
from workbook.tasks.tables_out import cut_rows, hole_rows, ordinate_rows
from workbook.tasks.write import file_name
from workbook.template.mark import shape_mark

Files = dict[str, bytes]


class Wanted(Struct, frozen=True, kw_only=True, dict=True):
    """What is to be written, and how: some templates of a job, a layout of it, a printing."""

    loaded: LoadedJob
    run: Run
    names: tuple[str, ...]  # templates
    laid: Laid | None = None
    parts: tuple[str, ...] = PARTS  # of the template sheets
    each: bool = False  # bars: a cutting file each, not one for all

    @cached_property
    def plans(self) -> list[BarPlan]:
        """The bars of the layout. JobError without one."""
        if self.laid is None:
            raise JobError([Mistake(place="layout", what="there is none.", right="Lay the blanks out first.")])
        return bar_plans(self.laid)

    @property
    def grounds(self) -> list[str]:
        """The templates that are ground by numbers."""
        return [name for name in self.names if self.loaded.shapes[name].template is not None]


class Export(Struct, frozen=True, kw_only=True):
    """One kind of file: what it is called, what it is of, and how its files are made."""

    key: str
    words: str
    of: str  # "templates", "bars" or "shop"
    kind: str  # of file
    make: Callable[[Wanted], Files]


def _pdf(pages: Iterable[Page], wanted: Wanted, title: str) -> bytes:
    there = list(pages)
    return pdf.pdf(there, title, wanted.run.printer) if there else b""


def _each(wanted: Wanted, names: Sequence[str], kind: str, made: Callable[[str], bytes]) -> Files:
    """A file of each template."""
    taken: set[str] = set()
    return {f"{file_name(name, taken)}.{kind}": made(name) for name in names}


def _sheets(wanted: Wanted) -> Files:
    def sheet(name: str) -> bytes:
        bars = bars_of(wanted.loaded, wanted.laid, name)
        return _pdf(sheet_pages(wanted.loaded, wanted.run, name, bars, wanted.parts), wanted, name)

    return _each(wanted, wanted.names, "pdf", sheet)


def _cards(wanted: Wanted) -> Files:
    def card(name: str) -> bytes:
        bars = bars_of(wanted.loaded, wanted.laid, name)
        return _pdf(card_pages(wanted.loaded, wanted.run, name, bars), wanted, f"{name}: bench card")

    return {name.replace(".pdf", "-bench-card.pdf"): made for name, made in _each(wanted, wanted.grounds, "pdf", card).items()}


def _cutting(wanted: Wanted) -> Files:
    """A cutting file of each, and the notes to them."""
    loaded, service = wanted.loaded, wanted.loaded.job.service
    files = _each(wanted, wanted.names, "dxf", lambda name: cut_dxf(loaded.shapes[name], service).encode())
    drafts = []
    for name, file in zip(wanted.names, files, strict=True):
        blank = loaded.shapes[name]
        drafts.append(note_draft(wanted.run, cut_note(loaded, blank, ready(blank, service), file, service)))
    return {**files, "notes-to-cutting-files.pdf": _pdf(footed(wanted.run, drafts), wanted, "Notes to cutting files")}


def _pictures(wanted: Wanted) -> Files:
    """Each right face as a picture, at 200 dots an inch."""
    run = replace(wanted.run, code=lambda words: ())

    def picture(name: str) -> bytes:
        pages = sheet_pages(wanted.loaded, run, name, bars_of(wanted.loaded, wanted.laid, name)[:1], ("faces",))
        return pdf.png(pdf.pdf(pages[:1], name))

    return _each(wanted, wanted.names, "png", picture)


def _bars_cut(wanted: Wanted) -> Files:
    service, title = wanted.loaded.job.service, wanted.loaded.job.name
    if not wanted.each:
        return {"bars-to-cut.dxf": bars_cut_dxf(wanted.plans, title, service).encode()}
    files = {}
    for plan in wanted.plans:
        marks = bar_cut_marks(plan, service)
        files[f"bar-{plan.number}-to-cut.dxf"] = dxf(marks, f"{title}, bar {plan.number}", service.version).encode()
    return files


def _labels(wanted: Wanted) -> Files:
    """A label for every blank of the layout."""
    labels = []
    for plan in wanted.plans:
        for blank in plan.blanks:
            revision = blank.shape.template.revision if blank.shape.template else 1
            mark = shape_mark(blank.shape)
            told = f"{blank.serial}; {blank.shape.name}; revision {revision}; {mark}; {plan.steel}"
            lines = (blank.shape.name, f"{plan.steel}, revision {revision} ({mark})", wanted.run.date)
            labels.append(Label(blank.serial, tuple(line for line in lines if line), told))
    return {"labels.pdf": _pdf(label_pages(wanted.run, labels), wanted, "Labels")}


def _stencil(wanted: Wanted) -> Files:
    """The blanks' numbers to mark them through, for a laser or plotter."""
    marks = stencil([blank.serial for plan in wanted.plans for blank in plan.blanks])
    return {"stencil.svg": svg(marks, "Stencil of numbers").encode(), "stencil.dxf": dxf(marks, "Stencil of numbers").encode()}


def _laid(wanted: Wanted) -> Laid:
    assert wanted.plans
    assert wanted.laid is not None
    return wanted.laid


def _table(name: str, rows: Callable[[Wanted], Sequence[Sequence[str]]]) -> Callable[[Wanted], Files]:
    return lambda wanted: {name: csv_text(rows(wanted)).encode()}


_ALL = (
    Export(key="sheets", words="Template sheets", of="templates", kind="pdf", make=_sheets),
    Export(key="cards", words="Bench cards", of="templates", kind="pdf", make=_cards),
    Export(key="cutting", words="Cutting files, notes", of="templates", kind="dxf", make=_cutting),
    Export(
        key="svg", words="Outlines as SVG", of="templates", kind="svg",
        make=lambda w: _each(w, w.names, "svg", lambda name: cut_svg(w.loaded.shapes[name]).encode()),
    ),
    Export(key="pictures", words="Pictures to share", of="templates", kind="png", make=_pictures),
    Export(
        key="holes", words="Table of holes", of="templates", kind="csv",
        make=_table("holes.csv", lambda w: hole_rows(w.loaded, w.names)),
    ),
    Export(
        key="bars", words="Bar sheets", of="bars", kind="pdf",
        make=lambda w: {"bars.pdf": _pdf(all_pages(w.run, w.plans), w, f"{w.run.job}: bars")},
    ),
    Export(
        key="bars-drawing", words="Bars, all lines", of="bars", kind="dxf",
        make=lambda w: {"bars.dxf": bars_dxf(_laid(w), w.plans).encode()},
    ),
    Export(key="bars-cut", words="Bars, to be cut", of="bars", kind="dxf", make=_bars_cut),
    Export(
        key="ordinates", words="Table of ordinates", of="bars", kind="csv",
        make=_table("ordinates.csv", lambda w: ordinate_rows(w.plans, w.loaded.job.unit)),
    ),
    Export(
        key="cuts", words="Table of saw cuts", of="bars", kind="csv",
        make=_table("cuts.csv", lambda w: cut_rows(w.plans, w.loaded.job.unit)),
    ),
    Export(key="costs", words="Table of costs", of="bars", kind="csv", make=_table("costs.csv", lambda w: costs_rows(_laid(w)))),
    Export(key="buy", words="What to buy", of="bars", kind="csv", make=_table("buy.csv", lambda w: buy_rows(_laid(w)))),
    Export(key="labels", words="Labels for blanks", of="bars", kind="pdf", make=_labels),
    Export(key="stencil", words="Stencil of numbers", of="bars", kind="svg", make=_stencil),
    Export(
        key="shelf", words="Contact sheet", of="shop", kind="pdf",
        make=lambda w: {"shelf.pdf": _pdf(shelf_pages(w.run, list(w.loaded.shapes.values())), w, f"{w.run.job}: shelf")},
    ),
    Export(
        key="printer", words="Printer test page", of="shop", kind="pdf",
        make=lambda w: {"printer-test.pdf": pdf.pdf([printer_page(w.run)], "Printer test")},
    ),
)  # fmt: skip
EXPORTS: Mapping[str, Export] = {export.key: export for export in _ALL}


def exported(wanted: Wanted, keys: Sequence[str]) -> Files:
    """The files of some exports, by name; where two have the same, the later is told apart by its kind. JobError in words."""
    files: Files = {}
    if any(EXPORTS[key].of == "templates" for key in keys):
        refuse_stopped(wanted.loaded, wanted.names)
    for key in keys:
        for name, content in EXPORTS[key].make(wanted).items():
            if not content:  # a template without such a sheet
                continue
            files[name if name not in files else f"{key}-{name}"] = content
    if not files:
        raise JobError([Mistake(place="export", what="none of the templates chosen has what is to be written.")])
    return files
