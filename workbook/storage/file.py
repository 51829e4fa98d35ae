"""The workbook's file: one line that says what it is, and the digest of the rest; then the content as JSON."""

from pathlib import Path
from typing import Any

from msgspec.json import decode, encode

from workbook.document.codec import CodecError
from workbook.storage.body import Body, body_of, body_value, readable, recent
from workbook.storage.migrations import VERSION, migrated
from workbook.storage.trouble import NotAWorkbook, in_words

SUFFIX = ".shopbook"
APPLICATION = "makers-workbook"
_MOST_BYTES = 64_000_000
_LONGEST_HEAD = 400
_MOST_PARTS = 3_000_000  # lists, objects or names in it: beyond all use, and seconds of reading


def written(body: Body) -> bytes:
    """The bytes of a file; the same body gives the same bytes. Of the history it has what is most recent and can be read."""
    content = encode(body_value(readable(recent(body))))
    head = f'{{"application": "{APPLICATION}", "version": {VERSION}, "sha256": "{digest(content)}"}}'
    return head.encode() + b"\n" + content + b"\n"


def digest(data: bytes) -> str:
    """What tells one file from another: SHA-256."""
    import hashlib  # brings the system's cryptography, which no start needs

    return hashlib.sha256(data).hexdigest()


def read(path: Path, *, known: bool = False) -> tuple[Body, str]:
    """A file's body and digest. NotAWorkbook when it is none, damaged or newer; StorageTrouble when it cannot be read.

    `known`: it was used here before, so that what the steps of its history changed is not looked at until it is wanted.
    """
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise NotAWorkbook(f"{path.name} is too large to be a workbook.")
        data = path.read_bytes()
    except OSError as trouble:
        raise in_words(trouble, f"{path.name} could not be read") from None
    return parsed(data, path.name, known=known), digest(data)


def parsed(data: bytes, name: str, *, known: bool = False) -> Body:
    """The body in a file's bytes. NotAWorkbook says why there is none. `known` as for `read`."""
    head, _, content = data.partition(b"\n")
    version = _version(head, name)
    if not content.endswith(b"\n") or digest(content[:-1]) != decode(head).get("sha256"):
        raise NotAWorkbook(f"{name} is damaged: its content is not what was written.", "Take an earlier copy of it.")
    if max(content.count(sign) for sign in (b"[", b"{", b":")) > _MOST_PARTS:
        raise NotAWorkbook(f"{name} cannot be opened: it has too many parts to be a workbook.")
    try:
        value = decode(content)
        return body_of(migrated(value, version), known=known)
    except CodecError as trouble:
        raise NotAWorkbook(f"{name} cannot be opened: {trouble}.", "It was not written by this program.") from None
    except (ValueError, RecursionError) as trouble:
        raise NotAWorkbook(f"{name} cannot be opened: its content is not sound ({str(trouble)[:80]}).") from None


def _version(head: bytes, name: str) -> int:
    try:
        found: Any = decode(head) if len(head) <= _LONGEST_HEAD else None
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict) or found.get("application") != APPLICATION or type(found.get("version")) is not int:
        raise NotAWorkbook(f"{name} is not a workbook of this program.", f"Workbooks end in {SUFFIX}.")
    if found["version"] > VERSION:
        raise NotAWorkbook(f"{name} was written by a newer version of this program.", "Install that version to open it.")
    if found["version"] < 1:
        raise NotAWorkbook(f"{name} is not a workbook of this program.")
    return int(found["version"])
