"""Other books that something may be brought from: workbooks and job files."""

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct, field

from workbook.document.actions.whole import bring_in
from workbook.document.document import Document
from workbook.storage.attachment import Attachment
from workbook.storage.file import read
from workbook.tasks.load import load_strange_job
from workbook.tasks.work import is_workbook, new_id, proved_readable


class OtherBook(Struct, frozen=True):
    """What another book holds, with the bytes of its pictures by digest."""

    document: Document
    attachments: Mapping[str, Attachment] = field(default_factory=dict)


def read_other(path: Path) -> OtherBook:
    """Read a workbook as its file is now, or a job file. Raises NotAWorkbook, StorageTrouble or JobError."""
    if is_workbook(path):
        body = read(path, known=proved_readable(path)).body
        return OtherBook(body.document, body.attachments)
    job = load_strange_job(path).job
    return OtherBook(Document().applied(bring_in(Document(), job, new_id)))
