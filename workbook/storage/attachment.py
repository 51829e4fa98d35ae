"""Pictures that belong to a workbook: each kept once, under the digest of its bytes, and named by it in the records.

A record holds `attachment:` and the digest; the bytes stand once in the file and in the session, never in a step of the history.
What neither a record nor a kept step names goes when the file is written.
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
    """How a record names an attachment."""
    return _PREFIX + digest


def digest_in(reference: str) -> str:
    """The digest that a record's reference names. ValueError when it names none."""
    if not _NAMED.fullmatch(f'"{reference}"'):
        raise ValueError(_("{reference!r} names no attachment", reference=reference[:80]))
    return reference.removeprefix(_PREFIX)


def named_in(texts: Iterable[str]) -> set[str]:
    """Digests of all attachments named in pieces of JSON."""
    return {digest for text in texts if _PREFIX in text for digest in _NAMED.findall(text)}


def admitted(attachment: Attachment, size: int, count: int) -> str:
    """The digest of an attachment that comes to others of `size` bytes together. StorageTrouble when there is no room for it."""
    if attachment.kind not in KINDS:
        raise StorageTrouble(_("A workbook keeps pictures only."), _("Take a JPEG, PNG or WebP picture."))
    if not 0 < len(attachment.data) <= ATTACHMENT_BYTES:
        most = ATTACHMENT_BYTES // 1_000_000
        raise StorageTrouble(
            _("The picture is too large for a workbook."), _("A picture takes {most} MB at most: make it smaller.", most=most)
        )
    if size + len(attachment.data) > ATTACHMENTS_BYTES or count >= MOST_ATTACHMENTS:
        most = ATTACHMENTS_BYTES // 1_000_000
        raise StorageTrouble(
            _("The workbook has no room for this picture."), _("All its pictures take {most} MB at most.", most=most)
        )
    return hashlib.sha256(attachment.data).hexdigest()


def listed(attachments: Attachments) -> list[list[Any]]:
    """What the content of a file says of the bytes behind it."""
    return [[digest, one.kind, len(one.data)] for digest, one in sorted(attachments.items())]


def taken_from(data: bytes | memoryview, value: Any) -> dict[str, Attachment]:
    """The attachments whose bytes stand one behind another in `data`. CodecError when they are not those listed."""
    if not isinstance(value, list) or len(value) > MOST_ATTACHMENTS:
        raise CodecError(_("is not a list of pictures"), "attachments")
    found, at = dict[str, Attachment](), 0
    for n, row in enumerate(value, 1):
        digest, kind, size = row if isinstance(row, list) and len(row) == 3 else ("", "", 0)
        if kind not in KINDS or type(size) is not int or not 0 < size <= ATTACHMENT_BYTES or digest in found:
            raise CodecError(_("is not a picture"), f"attachments[{n}]")
        piece = data[at : at + size]
        if len(piece) != size or hashlib.sha256(piece).hexdigest() != digest:
            raise CodecError(_("is not the picture that was written"), f"attachments[{n}]")
        found[digest], at = Attachment(kind, bytes(piece)), at + size
    if at != len(data) or at > ATTACHMENTS_BYTES:
        raise CodecError(_("are not all that stands there"), "attachments")
    return found
