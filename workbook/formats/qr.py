"""Words as a QR code (ISO/IEC 18004), by the library that writes the PDFs."""

from functools import lru_cache
from typing import Any

from workbook.libraries import qr_encoder
from workbook.texts import _

Rows = tuple[tuple[bool, ...], ...]
_BYTES = (17, 32, 53, 78, 106, 134, 154, 192)  # that fit into versions 1 to 8 at the lowest correction: the standard's table


@lru_cache(maxsize=64)
def qr(words: str) -> Rows:
    """Rows of dark (True) and light modules from the top, without the quiet zone. Raises ValueError for more than 192 bytes."""
    size = len(words.encode())
    version = next((n for n, room in enumerate(_BYTES, 1) if size <= room), None)
    if version is None:
        raise ValueError(_("too much text for a code on a printed sheet"))
    code: Any = qr_encoder.QRCode(version, qr_encoder.QRErrorCorrectLevel.L)
    code.addData(qr_encoder.QR8bitByte(words.encode()))
    code.make()
    count = code.getModuleCount()
    return tuple(tuple(bool(code.isDark(row, column)) for column in range(count)) for row in range(count))
