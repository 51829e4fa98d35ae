"""The workbook's file: a line that says what it is, with the digest of the next; the content as JSON; then the pictures."""

import hashlib
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.json import decode, encode

from workbook.document.codec import CodecError
from workbook.storage.attachment import Attachments, listed, named_in, taken_from
from workbook.storage.body import BookBody, Content, body_of, content_of, content_value, readable, recent
from workbook.storage.migrations import VERSION, migrated
from workbook.storage.trouble import NotAWorkbook, StorageTrouble, in_words
from workbook.storage.weight import ATTACHMENTS_BYTES, FILE, Weight, weight_of
from workbook.system.files import read_file
from workbook.texts import _

SUFFIX = ".shopbook"
APPLICATION = "makers-workbook"
_LONGEST_HEAD = 400


class OpenedFile(Struct, frozen=True):
    """What was read: the body, the digest of all bytes, and the version that wrote them."""

    body: BookBody
    digest: str
    version: int


def written(body: BookBody) -> bytes:
    """The bytes of a file; the same body gives the same bytes. Of the history it has what is most recent and can be read."""
    return bytes_of(content_of(body), body.attachments)


def bytes_of(content: Content, attachments: Attachments) -> bytes:
    """The bytes of a file; of the attachments only those that are named. StorageTrouble where they could not be opened again."""
    kept = readable(recent(content))
    named = named_in((*kept.records, *(step.changes for step in kept.steps)))
    taken = {digest: one for digest, one in attachments.items() if digest in named}
    value = encode(content_value(kept, listed(taken)))
    if not weight_of(value.decode()).within(FILE):
        raise StorageTrouble(_("The workbook has grown past what can be opened again."), _("Take something large out of it."))
    head = f'{{"application": "{APPLICATION}", "version": {VERSION}, "sha256": "{digest(value)}"}}'
    return b"".join((head.encode(), b"\n", value, b"\n", *(one.data for _unused, one in sorted(taken.items()))))


def digest(data: bytes) -> str:
    """What tells one file from another: SHA-256."""
    return hashlib.sha256(data).hexdigest()


def read(path: Path, *, known: bool = False) -> OpenedFile:
    """What a file holds. NotAWorkbook when it is none, damaged or newer; StorageTrouble when it cannot be read.

    `known`: it was used here before, so that what the steps of its history changed is not looked at until it is wanted.
    """
    try:
        if path.stat().st_size > FILE.size + ATTACHMENTS_BYTES:
            raise NotAWorkbook(_("{name} is too large to be a workbook.", name=path.name))
        data = read_file(path)
    except OSError as trouble:
        raise in_words(trouble, _("{name} could not be read", name=path.name)) from None
    return opened(data, path.name, known=known)


def digest_of(path: Path) -> str:
    """The digest of a file that opens. NotAWorkbook; StorageTrouble."""
    return read(path).digest


def opened(data: bytes, name: str, *, known: bool = False) -> OpenedFile:
    """What a file's bytes hold. NotAWorkbook says why there is nothing. `known` as for `read`."""
    head = data[:_LONGEST_HEAD].partition(b"\n")[0]
    version = _version(head, name)
    end = data.find(b"\n", len(head) + 1)
    content, pictures = data[len(head) + 1 : end], memoryview(data)[end + 1 :]  # of pictures no second copy is made
    if end < 0 or digest(content) != decode(head).get("sha256"):
        raise NotAWorkbook(
            _("{name} is damaged: its content is not what was written.", name=name), _("Take an earlier copy of it.")
        )
    if not Weight(len(content), max(content.count(sign) for sign in (b"[", b"{", b":"))).within(FILE):
        raise NotAWorkbook(_("{name} cannot be opened: it has too many parts to be a workbook.", name=name))
    try:
        value = migrated(decode(content), version)
        attachments = taken_from(pictures, value.get("attachments") if isinstance(value, dict) else None)
        return OpenedFile(body_of(value, attachments, known=known), digest(data), version)
    except CodecError as trouble:
        raise NotAWorkbook(
            _("{name} cannot be opened: {trouble}.", name=name, trouble=trouble), _("It was not written by this program.")
        ) from None
    except (ValueError, RecursionError) as trouble:
        raise NotAWorkbook(
            _("{name} cannot be opened: its content is not sound ({trouble}).", name=name, trouble=str(trouble)[:80])
        ) from None


def parsed(data: bytes, name: str, *, known: bool = False) -> BookBody:
    """The body in a file's bytes. NotAWorkbook says why there is none."""
    return opened(data, name, known=known).body


def _version(head: bytes, name: str) -> int:
    try:
        found: Any = decode(head) if len(head) < _LONGEST_HEAD else None
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict) or found.get("application") != APPLICATION or type(found.get("version")) is not int:
        raise NotAWorkbook(
            _("{name} is not a workbook of this program.", name=name), _("Workbooks end in {suffix}.", suffix=SUFFIX)
        )
    if found["version"] > VERSION:
        raise NotAWorkbook(
            _("{name} was written by a newer version of this program.", name=name), _("Install that version to open it.")
        )
    if found["version"] < 1:
        raise NotAWorkbook(_("{name} is not a workbook of this program.", name=name))
    return int(found["version"])
