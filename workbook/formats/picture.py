"""Read pictures to trace, photos and scans, as plain pixels of a sensible size."""

from pathlib import Path
from typing import NamedTuple

from PIL import Image, ImageOps, UnidentifiedImageError

from workbook.problems import JobError, Mistake
from workbook.system.files import require_file
from workbook.texts import _

LARGEST = 3000  # pixels along the longer side; larger ones are reduced
_MOST_BYTES, _MOST_PIXELS = 100_000_000, 120_000_000
_KINDS = ("JPEG", "PNG", "TIFF", "BMP", "WEBP")


class Picture(NamedTuple):
    """Pixels in rows from the top: red, green and blue, a byte each."""

    width: int
    height: int
    pixels: bytes


def read_picture(file: Path) -> Picture:
    """Read a picture, turned as its camera says and reduced where it is very large. Raises JobError."""
    Image.MAX_IMAGE_PIXELS = _MOST_PIXELS
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise _refused(_("is too large."), _("Save it smaller. 12 megapixels are plenty."))
        require_file(file.stat(), file)
        with Image.open(file, formats=_KINDS) as image:
            if image.width * image.height > _MOST_PIXELS:
                raise _refused(_("has too many pixels."), _("Save it smaller. 12 megapixels are plenty."))
            smaller = image if image.mode in ("L", "RGB") else image.convert("RGB")  # others cannot blend colours
            smaller.thumbnail((LARGEST, LARGEST))
            picture = ImageOps.exif_transpose(smaller).convert("RGB")
    except FileNotFoundError:
        raise _refused(_("no longer exists.")) from None
    except UnidentifiedImageError:
        raise _refused(_("is of a kind that this program cannot read."), _("Save it as JPEG or PNG.")) from None
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as trouble:
        reason = str(trouble)[:80].encode("ascii", "replace").decode()
        raise _refused(_("cannot be read ({why}).", why=reason), _("Save it again as JPEG or PNG.")) from None
    return Picture(picture.width, picture.height, picture.tobytes())


def _refused(text: str, right: str = "") -> JobError:
    return JobError([Mistake(place=_("picture"), what=text, right=right)])
