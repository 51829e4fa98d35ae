"""Pictures to trace: photos and scans, read to plain pixels of a sensible size."""

from pathlib import Path
from typing import NamedTuple

from PIL import Image, ImageOps, UnidentifiedImageError

from workbook.problems import JobError, Mistake
from workbook.system.files import require_file
from workbook.texts import _

LARGEST = 3000  # pixels along the longer side; more is not looked at
_MOST_BYTES, _MOST_PIXELS = 100_000_000, 120_000_000
_KINDS = ("JPEG", "PNG", "TIFF", "BMP", "WEBP")


class Picture(NamedTuple):
    """Rows of red, green and blue, a byte each, from the top."""

    width: int
    height: int
    pixels: bytes


def read_picture(file: Path) -> Picture:
    """A picture, turned as its camera says, and made smaller where it is very large. Raises JobError."""
    Image.MAX_IMAGE_PIXELS = _MOST_PIXELS
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise _refused(_("is too large."), _("Save it smaller; 12 megapixels are plenty."))
        require_file(file.stat(), file)
        with Image.open(file, formats=_KINDS) as opened:
            if opened.width * opened.height > _MOST_PIXELS:
                raise _refused(_("has too many pixels."), _("Save it smaller; 12 megapixels are plenty."))
            smaller = opened if opened.mode in ("L", "RGB") else opened.convert("RGB")  # other kinds have no colours between
            smaller.thumbnail((LARGEST, LARGEST))
            made = ImageOps.exif_transpose(smaller).convert("RGB")
    except FileNotFoundError:
        raise _refused(_("is not there any more.")) from None
    except UnidentifiedImageError:
        raise _refused(_("is not a picture this program reads."), _("Save it as JPEG or PNG.")) from None
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as trouble:
        why = str(trouble)[:80].encode("ascii", "replace").decode()
        raise _refused(_("cannot be read ({why}).", why=why), _("Save it again as JPEG or PNG.")) from None
    return Picture(made.width, made.height, made.tobytes())


def _refused(what: str, right: str = "") -> JobError:
    return JobError([Mistake(place="picture", what=what, right=right)])
