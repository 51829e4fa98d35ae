"""The stock as a table. Rows brought in change the items of the same name and add the others, every count through the ledger."""

from collections.abc import Callable
from pathlib import Path

from workbook.document.actions.rack import bring_in_stock
from workbook.document.document import Document, Edit
from workbook.document.records import BarRecord, MaterialRecord
from workbook.formats.stock_csv import read_stock
from workbook.problems import JobError, Mistake
from workbook.shop.job import Bar
from workbook.shop.materials import Material
from workbook.system.files import read_file
from workbook.texts import _

_MOST_BYTES = 5_000_000


def items(document: Document) -> list[Bar | Material]:
    """All bars, then all materials."""
    bars = [record.bar for record in document.all(BarRecord)]
    return [*bars, *(record.material for record in document.all(MaterialRecord))]


def stock_in(document: Document, text: str, at: str, new: Callable[[], str]) -> Edit:
    """The edit that brings in a table. `at`: ISO date and time. Raises JobError listing every row that cannot be read."""
    return bring_in_stock(document, read_stock(text, items(document)), at, new)


def stock_file(document: Document, path: Path, at: str, new: Callable[[], str]) -> Edit:
    """The same for a file. Raises JobError also if it cannot be read."""
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise JobError([Mistake(place=_("file"), what=_("is too large for a stock table."))])
        text = read_file(path).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise JobError([Mistake(place=_("file"), what=_("is not UTF-8 text."), right=_("Save it as CSV UTF-8."))]) from None
    except OSError as trouble:
        message = _("cannot be read: {reason}.", reason=trouble.strerror or trouble)
        raise JobError([Mistake(place=_("file"), what=message)]) from None
    return stock_in(document, text, at, new)
