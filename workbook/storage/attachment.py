"""Pictures that belong to a workbook: each stored once, under the digest of its bytes, by which records name it.

A record holds `attachment:` and the digest; the bytes are stored once in the file and in the session, never in a step of the
history. A picture that no record or kept step names is left out when the file is written.
"""

import hashlib
import re
from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Struct

from workbook.document.codec import CodecError
from workbook.storage.trouble import StorageTrouble
from workbook.storage.weight import ATTACHMENT_BYTES, ATTACHMENTS_BYTES, MOST_ATTACHMENTS
from workbook.texts import _

KINDS = ("image/jpeg", "image/png", "image/webp")
_PREFIX = "attachment:"
_NAMED = re.compile(r'"attachment:([0-9a-f]{64})"')


class Attachment(Struct, frozen=True):
    """A picture: its kind (a media type) and its bytes."""

    kind: str
    data: bytes


Attachments = Mapping[str, Attachment]  # by digest


def reference(digest: str) -> str:
    """The reference by which a record names an attachment."""
    return _PREFIX + digest


def digest_in(reference: str) -> str:
    """The digest in a record's reference. ValueError when it is no reference."""
    if not _NAMED.fullmatch(f'"{reference}"'):
        raise ValueError(_("{reference!r} names no attachment", reference=reference[:80]))
    return reference.removeprefix(_PREFIX)


def named_in(texts: Iterable[str]) -> set[str]:
    """The digests of all attachments named in pieces of JSON."""
    return {digest for text in texts if _PREFIX in text for digest in _NAMED.findall(text)}


def admitted(attachment: Attachment, size: int, count: int) -> str:
    """Check that an attachment can join `count` others of `size` bytes in total, and return its digest.

    StorageTrouble when it is no picture, is too large, or does not fit.
    """
    if attachment.kind not in KINDS:
        raise StorageTrouble(_("A shop book holds pictures only."), _("Use a JPEG, PNG or WebP picture."))
    if not 0 < len(attachment.data) <= ATTACHMENT_BYTES:
        most = ATTACHMENT_BYTES // 1_000_000
        raise StorageTrouble(
            _("The picture is too large for a shop book."), _("A picture may have at most {most} MB. Make it smaller.", most=most)
        )
    if size + len(attachment.data) > ATTACHMENTS_BYTES or count >= MOST_ATTACHMENTS:
        most = ATTACHMENTS_BYTES // 1_000_000
        raise StorageTrouble(
            _("The shop book has no room for this picture."),
            _("All its pictures together may have at most {most} MB.", most=most),
        )
    return hashlib.sha256(attachment.data).hexdigest()


def listed(attachments: Attachments) -> list[list[Any]]:
    """The digest, kind and size of each attachment, in the order their bytes follow the content of a file."""
    return [[digest, attachment.kind, len(attachment.data)] for digest, attachment in sorted(attachments.items())]


def taken_from(data: bytes | memoryview, value: Any) -> dict[str, Attachment]:
    """Read the attachments from their concatenated bytes. CodecError when they do not match the list in `value`."""
    if not isinstance(value, list) or len(value) > MOST_ATTACHMENTS:
        raise CodecError(_("is not a list of pictures"), "attachments")
    attachments, at = dict[str, Attachment](), 0
    for n, row in enumerate(value, 1):
        digest, kind, size = row if isinstance(row, list) and len(row) == 3 else ("", "", 0)
        if kind not in KINDS or type(size) is not int or not 0 < size <= ATTACHMENT_BYTES or digest in attachments:
            raise CodecError(_("is not a picture"), f"attachments[{n}]")
        piece = data[at : at + size]
        if len(piece) != size or hashlib.sha256(piece).hexdigest() != digest:
            raise CodecError(_("is not the picture that was written"), f"attachments[{n}]")
        attachments[digest], at = Attachment(kind, bytes(piece)), at + size
    if at != len(data) or at > ATTACHMENTS_BYTES:
        raise CodecError(_("are not all that is there"), "attachments")
    return attachments
