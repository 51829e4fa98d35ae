"""The workbook's file: a header line with the digest of the content, the content as JSON, then the pictures."""

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
    """A file as read: its body, the digest of all its bytes, and the version that wrote it."""

    body: BookBody
    digest: str
    version: int


def written(body: BookBody) -> bytes:
    """Encode a body as a file; the same body gives the same bytes. Only the recent, readable part of its history is kept.

    StorageTrouble where the file could not be opened again.
    """
    return bytes_of(content_of(body), body.attachments)


def bytes_of(content: Content, attachments: Attachments) -> bytes:
    """Encode content as a file, with only the attachments it names. StorageTrouble where it could not be opened again."""
    file_content = readable(recent(content))
    named = named_in((*file_content.records, *(step.changes for step in file_content.steps)))
    pictures = {digest: picture for digest, picture in attachments.items() if digest in named}
    value = encode(content_value(file_content, listed(pictures)))
    if not weight_of(value.decode()).within(FILE):
        raise StorageTrouble(_("The shop book has grown too large to be opened again."), _("Remove something large from it."))
    head = f'{{"application": "{APPLICATION}", "version": {VERSION}, "sha256": "{digest(value)}"}}'
    return b"".join((head.encode(), b"\n", value, b"\n", *(picture.data for _unused, picture in sorted(pictures.items()))))


def digest(data: bytes) -> str:
    """The SHA-256 digest, in hexadecimal, that identifies a file."""
    return hashlib.sha256(data).hexdigest()


def read(path: Path, *, known: bool = False) -> OpenedFile:
    """Read a file. NotAWorkbook when it is damaged, newer or no workbook; StorageTrouble when it cannot be read.

    `known`: the file was used here before, so the changes in its history are not checked until they are needed.
    """
    try:
        if path.stat().st_size > FILE.size + ATTACHMENTS_BYTES:
            raise NotAWorkbook(_("{name} is too large for a shop book.", name=path.name))
        data = read_file(path)
    except OSError as trouble:
        raise in_words(trouble, _("{name} could not be read", name=path.name)) from None
    return opened(data, path.name, known=known)


def digest_of(path: Path) -> str:
    """The digest of a file, once it has been read. NotAWorkbook or StorageTrouble as for `read`."""
    return read(path).digest


def opened(data: bytes, name: str, *, known: bool = False) -> OpenedFile:
    """Parse a file's bytes. NotAWorkbook says why they cannot be opened. `known` as for `read`."""
    head = data[:_LONGEST_HEAD].partition(b"\n")[0]
    version = _version(head, name)
    end = data.find(b"\n", len(head) + 1)
    content, pictures = data[len(head) + 1 : end], memoryview(data)[end + 1 :]  # the pictures are not copied
    if end < 0 or digest(content) != decode(head).get("sha256"):
        raise NotAWorkbook(_("{name} is damaged: its content is not what was written.", name=name), _("Use an earlier copy."))
    if not Weight(len(content), max(content.count(sign) for sign in (b"[", b"{", b":"))).within(FILE):
        raise NotAWorkbook(_("{name} cannot be opened: it has too many parts for a shop book.", name=name))
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
            _("{name} cannot be opened: its content is not valid ({trouble}).", name=name, trouble=str(trouble)[:80])
        ) from None


def parsed(data: bytes, name: str, *, known: bool = False) -> BookBody:
    """Parse the body in a file's bytes. NotAWorkbook says why it cannot be opened. `known` as for `read`."""
    return opened(data, name, known=known).body


def _version(head: bytes, name: str) -> int:
    try:
        header: Any = decode(head) if len(head) < _LONGEST_HEAD else None
    except (ValueError, RecursionError):
        header = None
    if not isinstance(header, dict) or header.get("application") != APPLICATION or type(header.get("version")) is not int:
        raise NotAWorkbook(
            _("{name} is not a shop book of this program.", name=name), _("Shop books end in {suffix}.", suffix=SUFFIX)
        )
    if header["version"] > VERSION:
        raise NotAWorkbook(
            _("{name} was written by a newer version of this program.", name=name), _("Install that version to open it.")
        )
    if header["version"] < 1:
        raise NotAWorkbook(_("{name} is not a shop book of this program.", name=name))
    return int(header["version"])
