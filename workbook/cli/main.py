"""The command line: which command, with what; errors in plain words and the exit codes of the public interface.

0 done; 1 the job cannot be made as asked; 2 usage; 3 bars ran out, the rest is written.
"""

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from decimal import Decimal
from io import TextIOWrapper
from pathlib import Path
from typing import Any, TypeVar

from workbook import __version__
from workbook.cli.commands import (
    CANNOT,
    book_out,
    check,
    contact_sheet,
    demo,
    estimate,
    fits,
    grind,
    preflight,
    sheets,
    templates,
)
from workbook.cli.lay_out import lay_out
from workbook.length_in import LengthError, parse_length
from workbook.number_in import NumberError, parse_number, parse_whole
from workbook.problems import TOO_LITTLE_MEMORY, JobError
from workbook.sheets.bar_sheet import BAR_PARTS
from workbook.sheets.paper import PAPERS, ROLL
from workbook.sheets.printer import MARGIN, TRUE, Printer
from workbook.sheets.template_sheet import PART_WORDS, PARTS
from workbook.tasks.exports import OF_A_BOOK, OF_A_JOB
from workbook.tasks.exports.knives import TELL_WORDS, TELLS
from workbook.texts import _

EXPORT_KEYS = (*OF_A_JOB, *OF_A_BOOK)
Command = Callable[[argparse.Namespace], int]
_Number = TypeVar("_Number", int, Decimal)


def main(arguments: Sequence[str], began: float | None = None) -> int:
    """Run one command and return the exit code. `began`: its start on the monotonic clock, s."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # a name may have characters that this terminal lacks
    parser = command_line()
    options = parser.parse_args(arguments)
    options.began = time.monotonic() if began is None else began
    if getattr(options, "keep_blanks", ()) and not options.keep:
        parser.error(_("--keep-blanks goes with --keep FILE"))
    command: Command = options.command
    try:
        return command(options)
    except JobError as trouble:
        print("\n".join(trouble.lines()), file=sys.stderr)
        return CANNOT
    except MemoryError:
        print("\n".join(JobError([TOO_LITTLE_MEMORY]).lines()), file=sys.stderr)
        return CANNOT
    except BrokenPipeError:  # the reader of our output has gone, as `| head` does
        sys.stderr.close()
        return CANNOT
    except KeyboardInterrupt:
        print(_("Stopped. Nothing was written."), file=sys.stderr)
        return CANNOT


def command_line() -> argparse.ArgumentParser:
    """The parser of all commands and their options."""
    parser = argparse.ArgumentParser(
        prog="makers-workbook", description=_("Maker's Workbook. Without a command the window opens.")
    )
    parser.add_argument("--version", action="version", version=_("Maker's Workbook {version}", version=__version__))
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _lay_out(_command(commands, "lay-out", lay_out, _("lay blanks out on bars; write the layout, sheets, drawing and costs")))
    templates_parser = _command(commands, "templates", templates, _("write true-size template sheets and cutting files"))
    _out(templates_parser)
    _paper(templates_parser)
    _sheets(_command(commands, "sheets", sheets, _("write sheets, cutting files, tables or labels")))
    _book(commands)
    _json(_command(commands, "estimate", estimate, _("steel needed, what to use and buy, cost per piece, bar sizes compared")))
    fits_parser = _command(
        commands, "fits", fits, _("what else fits on the rack's offcuts, and on the bars and offcuts of a layout")
    )
    fits_parser.add_argument("--layout", type=Path, metavar="FILE", help=_("a layout.json of this job"))
    _json(fits_parser)
    _grind(_command(commands, "grind", grind, _("bench settings, sections, mass, balance, steel ground away")))
    _json(_command(commands, "check", check, _("every problem of the job, and the defaults it uses")))
    _preflight(commands)
    demo_parser = commands.add_parser("demo", help=_("write the demo job and shop book"))
    demo_parser.add_argument("folder", type=Path, metavar="DIR")
    demo_parser.add_argument("--quiet", action="store_true", help=_("no summary"))
    _force(demo_parser)
    demo_parser.set_defaults(command=demo)
    contact_parser = commands.add_parser("contact-sheet", help=_("every family of the starting library on one picture"))
    contact_parser.add_argument("picture", type=Path, metavar="PNG")
    contact_parser.add_argument("--quiet", action="store_true", help=_("no summary"))
    contact_parser.set_defaults(command=contact_sheet)
    return parser


def _book(commands: Any) -> None:
    words = _("all records of a shop book as tables (CSV) and JSON")
    book_parser = commands.add_parser("book", help=words, description=words)
    book_parser.add_argument("book", type=Path, metavar="FILE", help=_("the shop book (.shopbook)"))
    book_parser.add_argument("--tables", type=Path, required=True, metavar="DIR", dest="out", help=_("folder to write into"))
    words = _("the tables of one year for an accountant, also as a spreadsheet, in place of all records")
    book_parser.add_argument("--year", type=_year, metavar="YYYY", help=words)
    book_parser.add_argument("--quiet", action="store_true", help=_("no summary"))
    _force(book_parser)
    book_parser.set_defaults(command=book_out)


def _preflight(commands: Any) -> None:
    words = _("what a cutting service would stumble over in a DXF, and its repair")
    preflight_parser = commands.add_parser("preflight", help=words, description=words)
    preflight_parser.add_argument("file", type=Path, metavar="DXF")
    preflight_parser.add_argument("--unit", choices=("mm", "cm", "m", "in", "ft"), help=_("if the file states none"))
    preflight_parser.add_argument("--thickness", type=_millimetres, metavar="LENGTH", help=_("of the steel, e.g. 3.2mm or 1/8in"))
    preflight_parser.add_argument("--job", type=Path, metavar="JOB", help=_("a job file whose [service] says what can be cut"))
    preflight_parser.add_argument("--repair", type=Path, metavar="DXF", help=_("write the repaired drawing"))
    preflight_parser.add_argument("--quiet", action="store_true", help=_("no summary"))
    preflight_parser.set_defaults(command=preflight)
    _json(preflight_parser)


def _command(commands: Any, name: str, run: Command, words: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(name, help=words, description=words)
    parser.add_argument("job", type=Path, metavar="JOB", help=_("the job file (TOML)"))
    parser.add_argument("--quiet", action="store_true", help=_("no summary, no progress"))
    parser.set_defaults(command=run)
    return parser


def _lay_out(parser: argparse.ArgumentParser) -> None:
    _out(parser)
    parser.add_argument("--seconds", type=_seconds, default=5.0, help=_("time it may take, files included (5)"))
    parser.add_argument("--steps", type=_steps, help=_("stop after so many steps instead: the same layout on any machine"))
    parser.add_argument(
        "--keep", type=Path, metavar="FILE", help=_("a layout.json: its blanks stay, the rest is laid out around them")
    )
    parser.add_argument("--keep-blanks", type=_serials, default=(), metavar="T1,S2", help=_("only these of its blanks stay"))
    parser.add_argument("--seed", type=_seed, default=0, help=_("another seed, another search (0)"))
    _paper(parser)


def _grind(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--layout", type=Path, metavar="FILE", help=_("a layout.json of this job, for the bars its blanks lie on")
    )
    parser.add_argument("--template", metavar="NAME", help=_("this template only"))
    parser.add_argument("--out", type=Path, metavar="DIR", help=_("folder to write the bench cards into"))
    _force(parser)
    _paper(parser)
    _json(parser)


def _out(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--out", type=Path, required=True, metavar="DIR", help=_("folder to write into"))
    _force(parser)


def _force(parser: argparse.ArgumentParser) -> None:
    words = _("replace files that this command did not write, or that were changed since")
    parser.add_argument("--force", action="store_true", help=words)


def _paper(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--paper", choices=(*PAPERS, ROLL), default="letter", help=_("paper of the sheets (letter)"))


def _sheets(parser: argparse.ArgumentParser) -> None:
    _out(parser)
    parser.add_argument(
        "--what", type=_of(EXPORT_KEYS), required=True, metavar="A,B", help=_("any of {keys}", keys=", ".join(EXPORT_KEYS))
    )
    parser.add_argument("--templates", metavar="A,B", help=_("of these templates only"))
    parser.add_argument(
        "--parts",
        type=_parts,
        default=PARTS,
        metavar="A,B",
        help=_("of template sheets: any of {parts}", parts=", ".join(PART_WORDS)),
    )
    parser.add_argument(
        "--bar-parts",
        type=_of(BAR_PARTS),
        default=BAR_PARTS,
        metavar="A,B",
        help=_("of bar sheets: any of {parts}", parts=", ".join(BAR_PARTS)),
    )
    parser.add_argument(
        "--layout",
        type=Path,
        metavar="FILE",
        help=_("a layout.json of this job, for what is of bars, and for sheets and cards for them"),
    )
    _of_books(parser)
    parser.add_argument("--each", action="store_true", help=_("bars as a service cuts them, one file each"))
    parser.add_argument("--mirrored", action="store_true", help=_("true-size pages mirrored, for the back of clear film"))
    parser.add_argument("--cut-line", action="store_true", help=_("a cutting line for card, around master templates"))
    parser.add_argument(
        "--read", type=_readings, default=(TRUE, TRUE), metavar="X,Y", help=_("caliper readings of a printed 100 mm")
    )
    parser.add_argument("--margin", type=_margin, default=MARGIN, metavar="LENGTH", help=_("unprintable margin (1/4in)"))
    parser.add_argument("--roll", type=_roll, default=Printer().roll, metavar="LENGTH", help=_("roll paper width (24in)"))
    _paper(parser)


def _of_books(parser: argparse.ArgumentParser) -> None:
    """What is of a shop book: a batch, an order, knives."""
    parser.add_argument(
        "--batch", type=_whole_number, default=0, metavar="N", help=_("this batch of a shop book (default: the newest)")
    )
    parser.add_argument("--order", type=_whole_number, default=0, metavar="N", help=_("this order of a shop book"))
    words = _("these knives of a shop book (default: those of the order, or of the batch)")
    parser.add_argument("--serials", type=_serials, default=(), metavar="26-01,26-02", help=words)
    words = _("of the history for an owner: any of {parts}", parts=", ".join(TELL_WORDS))
    parser.add_argument("--tell", type=_of(tuple(TELL_WORDS)), default=TELLS, metavar="A,B", help=words)


def _parts(text: str) -> tuple[str, ...]:
    """Parts of template sheets; “faces” is both, as it was called once."""
    return _of(tuple(PART_WORDS))(",".join("right,left" if part.strip() == "faces" else part for part in text.split(",")))


def _of(choices: Sequence[str]) -> Callable[[str], tuple[str, ...]]:
    def read(text: str) -> tuple[str, ...]:
        values = tuple(part.strip() for part in text.split(",") if part.strip())
        unknown = [part for part in values if part not in choices]
        if unknown or not values:
            named, known = ", ".join(unknown), ", ".join(choices)
            raise argparse.ArgumentTypeError(_("“{named}” is unknown. Allowed: {known}", named=named, known=known))
        return values

    return read


def _readings(text: str) -> tuple[float, float]:
    try:
        x, y = (float(parse_number(part, 90, 110)) for part in text.split(";" if ";" in text else ","))
    except ValueError:
        raise argparse.ArgumentTypeError(_("two readings from 90 to 110 mm, e.g. 99.7,100.2 or 99,7;100,2")) from None
    return x, y


def _margin(text: str) -> float:
    return _length(text, 0, 15)


def _roll(text: str) -> float:
    return _length(text, 150, 2000)


def _json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help=_("print JSON"))


def _serials(text: str) -> tuple[str, ...]:
    serials = tuple(serial.strip() for serial in text.split(",") if serial.strip())
    if not serials:
        raise argparse.ArgumentTypeError(_("serials separated by commas, e.g. T1,S2"))
    return serials


def _millimetres(text: str) -> float:
    return _length(text, 0.2, 60)


def _length(text: str, low: float, high: float) -> float:
    try:
        value = parse_length(text, "mm", (low, high))
    except LengthError as trouble:
        raise argparse.ArgumentTypeError(trouble.what) from None
    if not low <= value <= high:
        raise argparse.ArgumentTypeError(_("a length from {low:g} to {high:g} mm", low=low, high=high))
    return value


def _seconds(text: str) -> float:
    value = float(_number(parse_number, text, 0, 86_400))
    if value == 0:
        raise argparse.ArgumentTypeError(_("type a number of seconds above 0"))
    return value


def _steps(text: str) -> int:
    return _number(parse_whole, text, 1, 10**9)


def _whole_number(text: str) -> int:
    return _number(parse_whole, text, 0, 10**9)


def _year(text: str) -> str:
    return f"{_number(parse_whole, text, 1900, 2999):04}"


def _seed(text: str) -> int:
    return _number(parse_whole, text, 0, 2**63 - 1)


def _number(read: Callable[[str, int, int], _Number], text: str, low: int, high: int) -> _Number:
    """The number in an argument; if it is none, argparse alone would name a function of ours."""
    try:
        return read(text, low, high)
    except NumberError as trouble:
        raise argparse.ArgumentTypeError(str(trouble)) from None
