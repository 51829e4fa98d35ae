"""The headless commands: each loads, works, prints or writes, and returns the exit code."""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.cli.summary import bench_lines, check_lines, estimate_lines, fits_lines, judged_lines
from workbook.document.document import Document
from workbook.document.making import batches
from workbook.document.queries import job_of
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.formats.layout_in import read_layout
from workbook.later import modules
from workbook.model.grinding import ground_json
from workbook.model.laying import Laid, clash_in, finish, nesting_job, refuse_clash, refuse_stopped, start
from workbook.model.model import Model
from workbook.model.quoting import OrderWork, worked_out
from workbook.nesting.model import Layout
from workbook.problems import JobError, Mistake, Severity
from workbook.sheets.printer import Printer
from workbook.storage.file import SUFFIX, read
from workbook.storage.trouble import StorageTrouble
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.demo import write_demo
from workbook.tasks.estimate import estimate as make_estimate
from workbook.tasks.estimate import estimate_json
from workbook.tasks.exports import EXPORTS, OF_A_JOB, Files, Wanted, exported
from workbook.tasks.exports.book_tables import book_tables
from workbook.tasks.exports.refused import refuse_empty
from workbook.tasks.exports.repair import mended
from workbook.tasks.exports.year_tables import year_files
from workbook.tasks.judging import judge, judged_json
from workbook.tasks.keeping import keeping, kept_from, places_with_room
from workbook.tasks.load import load_job, shaped
from workbook.tasks.outputs import write_outputs
from workbook.tasks.searching import search
from workbook.tasks.sheets import bars_of, run_of, today
from workbook.tasks.work import now
from workbook.tasks.write import write_all
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.tasks.exports import book
else:
    (book,) = modules("tasks.exports.book")

DONE, CANNOT, RAN_OUT = 0, 1, 3


def _loaded(options: argparse.Namespace) -> Model:
    return load_job(options.job)


def templates(options: argparse.Namespace) -> int:
    """Write true-size sheets of every template, and a DXF and an SVG of each under `cut/`."""
    model = _loaded(options)
    run = run_of(model.job, options.paper, today(model.job.region))
    request = Wanted(model=model, run=run, keys=tuple(model.shapes), together=True)
    files = exported(request, ["sheets", "cutting", "svg"])
    _write({name if name.endswith(".pdf") else f"cut/{name}": content for name, content in files.items()}, options)
    return DONE


def _write(files: Files, options: argparse.Namespace) -> None:
    """Write files into the folder given, and say so."""
    write_outputs(options.out, files, force=options.force)
    if not options.quiet:
        print(_("Written to {out}: {names}", out=shown(options.out), names=", ".join(files)))


def sheets(options: argparse.Namespace) -> int:
    """Write any exports of a job or a workbook: sheets, cutting files, tables, labels; of a workbook its travellers too."""
    document = _document(options.job) if options.job.suffix == SUFFIX else None
    _refuse_of_books(document, options)
    model = _loaded(options) if document is None else shaped(job_of(document))
    names = [name.strip() for name in options.templates.split(",")] if options.templates else list(model.shapes)
    unknown = [name for name in names if name not in model.shapes]
    if unknown:
        raise JobError([_no_template("--templates", unknown[0], model)])
    printer = Printer(x=options.read[0], y=options.read[1], margin=options.margin, roll=options.roll)
    run = replace(
        run_of(model.job, options.paper, today(model.job.region), printer), mirrored=options.mirrored, cut_line=options.cut_line
    )
    laid = _laid_as(model, options) if options.layout else None
    request = Wanted(
        model=model, run=run, keys=tuple(names), laid=laid, parts=options.parts, bar_parts=options.bar_parts, each=options.each,
        document=document, tell=options.tell, date=now(), every=True,
    )  # fmt: skip
    if document is not None:
        order, blades = _order(document, model, options), _blades(document, options.serials)
        request = replace(request, batch=_batch(document, options.batch), order=order, blades=blades)
    _write(exported(request, options.what), options)
    return DONE


def _no_template(option: str, name: str, model: Model) -> Mistake:
    """The mistake that an option names a template that the job does not have."""
    names = ", ".join(f"“{name}”" for name in model.shapes)
    what = _("no template is named “{name}”.", name=name)
    return Mistake(place=option, what=what, right=_("The job has {names}.", names=names))


def _document(file: Path) -> Document:
    """The document of a workbook's file. Raises JobError where it is none."""
    try:
        return read(file).body.document
    except StorageTrouble as trouble:
        raise JobError([Mistake(place=shown(file), what=trouble.what, right=trouble.cure)]) from None


def _refuse_of_books(document: Document | None, options: argparse.Namespace) -> None:
    """Raise JobError for exports that only a workbook has, where a job is given."""
    of_books = [key for key in options.what if key not in OF_A_JOB]
    named = [name for name in ("batch", "order", "serials") if getattr(options, name)]
    if document is None and (of_books or named):
        what = _("{what} belongs to a shop book.", what=", ".join(of_books) or f"--{named[0]}")
        raise JobError([Mistake(place="--what", what=what, right=_("Name a .shopbook file in place of the job."))])


def _batch(document: Document, number: int) -> str:
    """The id of a batch by its number; the newest for 0. Raises JobError for a number that none has."""
    found = next((batch.id for batch in batches(document) if batch.number == number), "")
    if number and not found:
        numbers = ", ".join(str(batch.number) for batch in reversed(batches(document)))
        right = _("The batches are {numbers}.", numbers=numbers) if numbers else _("There are none.")
        raise JobError([Mistake(place="--batch", what=_("there is no batch {number}.", number=number), right=right)])
    return found


def _order(document: Document, model: Model, options: argparse.Namespace) -> OrderWork | None:
    """The order of a number, worked out; None for 0. Raises JobError for a number that none has, or where one is needed."""
    orders = {order.number: order.id for order in document.all(OrderRecord)}
    if options.order in orders:
        return worked_out(document, model, orders[options.order], {})
    needed = [key for key in options.what if EXPORTS[key].of == "order"]
    if options.order or needed:
        numbers = ", ".join(map(str, sorted(orders)))
        right = _("The orders are {numbers}.", numbers=numbers) if numbers else _("There are none.")
        what = _("there is no order {number}.", number=options.order) if options.order else _("{what} needs one.", what=needed[0])
        raise JobError([Mistake(place="--order", what=what, right=right)])
    return None


def _blades(document: Document, serials: Sequence[str]) -> tuple[str, ...]:
    """The ids of blades by their serials. Raises JobError for a serial that none has."""
    ids = {piece.serial.casefold(): piece.id for piece in document.all(PieceRecord)}
    unknown = [serial for serial in serials if serial.casefold() not in ids]
    if unknown:
        what = _("no blade has the serial {serial}.", serial=unknown[0])
        raise JobError([Mistake(place="--serials", what=what, right=_("A blade's serial stands on the Make page."))])
    return tuple(ids[serial.casefold()] for serial in serials)


def _laid_as(model: Model, options: argparse.Namespace) -> Laid:
    """The layout in a file, every blank where it lies there. Raises JobError if the job no longer matches the layout."""
    nesting, bars = start(model), read_layout(options.layout)
    blanks = kept_from(nesting, bars, [piece.serial for bar in bars for piece in bar.pieces])
    layout = Layout(blanks[0])
    refuse_empty(layout)
    refuse_clash(clash_in(replace(nesting, kept=blanks[0], marks=blanks[1]), layout))
    total = sum(part.quantity for part in nesting.parts)
    placed = sum(len(use.pieces) for use in blanks[0])
    nesting = keeping(nesting, *blanks)
    *_unused, last = search(nesting, 0, lambda step: step >= 1, repeatable=True)
    if sum(len(use.pieces) for use in last.best.bars) != placed:
        message = _("holds {there} blanks where the job makes {wanted}.", there=placed, wanted=total)
        raise JobError([Mistake(place=str(options.layout), what=message, right=_("Lay out again."))])
    return finish(model, nesting, last, 0)


def book_out(options: argparse.Namespace) -> int:
    """Write all records of a workbook as tables, and as one JSON; or the tables of one year."""
    document = _document(options.book)
    if options.year:
        _write(year_files(document, shaped(job_of(document)), options.year, now()), options)
    else:
        _write(book_tables(document), options)
    return DONE


def preflight(options: argparse.Namespace) -> int:
    """Report what a cutting service would stumble over in a DXF, and repair it if asked. Exit code 1 if there is a stop."""
    service = load_job(options.job).job.service if options.job else None
    judged = judge(options.file, options.unit, service, options.thickness)
    if options.json:
        print(json.dumps(judged_json(judged), indent=1, ensure_ascii=False))
    elif not options.quiet:
        print("\n".join(judged_lines(judged)))
    if options.repair:
        if options.repair.exists() and options.repair.samefile(options.file):
            message = _("is the drawing itself, which must stay as it is.")
            raise JobError([Mistake(place="--repair", what=message, right=_("Name another file."))])
        text, repairs = mended(judged)
        write_all(options.repair.parent, {options.repair.name: text.encode()}, over={options.repair.name})
        if not (options.quiet or options.json):
            print(_("Repaired as far as possible: {file}", file=shown(options.repair)))
            done = _("Nothing to repair.") if not repairs else _("Done: {repairs}.", repairs=", ".join(repairs))
            print(done)
    return CANNOT if any(p.severity is Severity.STOP for p in judged.problems) else DONE


def fits(options: argparse.Namespace) -> int:
    """Report what else fits on the offcuts of the rack, and on the bars and offcuts of a layout."""
    model = _loaded(options)
    nesting = nesting_job(model)
    laid, _ = kept_from(nesting, read_layout(options.layout)) if options.layout else ((), ())
    keeping(nesting, laid)
    places = list(places_with_room(nesting, laid))
    if options.json:
        print(json.dumps([place.json(nesting) for place in places], indent=1, ensure_ascii=False))
    elif not options.quiet:
        print("\n".join(fits_lines(nesting, places, model.job.unit)))
    return DONE


def estimate(options: argparse.Namespace) -> int:
    """Report the steel needed, from a quick layout."""
    result = make_estimate(_loaded(options))
    if options.json:
        print(json.dumps(estimate_json(result), indent=1, ensure_ascii=False))
    elif not options.quiet:
        print("\n".join(estimate_lines(result)))
    return RAN_OUT if result.laid.layout.left_over else DONE


def grind(options: argparse.Namespace) -> int:
    """Report bench settings, sections, mass, balance and steel ground away of one template or of all."""
    model = _loaded(options)
    names = [options.template] if options.template else list(model.shapes)
    if options.template and options.template not in model.shapes:
        raise JobError([_no_template("--template", options.template, model)], source=options.job.name)
    laid = _laid_as(model, options) if options.layout else None
    bars = [(name, bar) for name in names for bar in bars_of(model, laid, name)]
    refuse_stopped(model, bars)
    if options.out:
        run = run_of(model.job, options.paper, today(model.job.region))
        request = Wanted(model=model, run=run, keys=tuple(names), laid=laid, together=True)
        write_outputs(options.out, exported(request, ["cards"]), force=options.force)
    if options.json:
        print(json.dumps({"templates": [ground_json(model, *each) for each in bars]}, indent=1, ensure_ascii=False))
    elif not options.quiet:
        print("\n\n".join("\n".join(bench_lines(model, *each)) for each in bars))
    return DONE


def check(options: argparse.Namespace) -> int:
    """Report every problem and the defaults used. Exit code 1 if there is a stop."""
    model = _loaded(options)
    if options.json:
        print(json.dumps(_check_json(model), indent=1, ensure_ascii=False))
    elif not options.quiet:
        print("\n".join(check_lines(model)))
    return CANNOT if any(p.severity is Severity.STOP for p in model.problems) else DONE


def _check_json(model: Model) -> dict[str, object]:
    problems = [
        {
            "template": p.template,
            "severity": p.severity.value,
            "what": p.what,
            "at": list(p.at) if p.at else None,
            "is": p.is_,
            "wanted": p.wanted,
            "source": p.source,
        }
        for p in model.problems
    ]
    return {"problems": problems, "defaults": dict(model.job.defaults)}


def demo(options: argparse.Namespace) -> int:
    """Write the demo job and workbook."""
    path = write_demo(options.folder, force=options.force)
    if not options.quiet:
        print(_("Written: {written}", written=shown(path)))
    return DONE


def contact_sheet(options: argparse.Namespace) -> int:
    """Write a picture of every family."""
    write_all(options.picture.parent, {options.picture.name: book.families()}, over={options.picture.name})
    if not options.quiet:
        print(_("Written: {picture}", picture=shown(options.picture)))
    return DONE
