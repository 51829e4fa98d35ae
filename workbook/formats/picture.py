"""Read pictures, photos and scans: to trace as plain pixels, to keep as a small JPEG."""

from io import BytesIO
from pathlib import Path
from typing import NamedTuple

from PIL import Image, ImageOps, UnidentifiedImageError

from workbook.problems import JobError, Mistake
from workbook.system.files import require_file
from workbook.texts import _

LARGEST = 3000  # pixels along the longer side; larger ones are reduced
PHOTO_LARGEST, PHOTO_BYTES = 1600, 1_000_000
_QUALITIES = (88, 80, 70, 60, 50)  # of JPEG, tried one after another
_MOST_BYTES, _MOST_PIXELS = 100_000_000, 120_000_000
_KINDS = ("JPEG", "PNG", "TIFF", "BMP", "WEBP")


class Picture(NamedTuple):
    """Pixels in rows from the top: red, green and blue, a byte each."""

    width: int
    height: int
    pixels: bytes


def read_picture(file: Path) -> Picture:
    """Read a picture, turned as its camera says and reduced where it is very large. Raises JobError."""
    picture = _read(file, LARGEST)
    return Picture(picture.width, picture.height, picture.tobytes())


def read_photo(file: Path) -> bytes:
    """Read a picture as a JPEG of at most `PHOTO_BYTES`, reduced as far as that takes. Raises JobError."""
    picture = _read(file, PHOTO_LARGEST)
    for quality in _QUALITIES:
        written = BytesIO()
        picture.save(written, "JPEG", quality=quality, optimize=True)
        if written.tell() <= PHOTO_BYTES:
            return written.getvalue()
        picture.thumbnail((picture.width * 3 // 4, picture.height * 3 // 4))
    raise _refused(_("is too large."), _("Save it smaller. 12 megapixels are plenty."))


def _read(file: Path, largest: int) -> Image.Image:
    """A picture in red, green and blue, upright, with neither side longer than `largest` pixels. Raises JobError."""
    Image.MAX_IMAGE_PIXELS = _MOST_PIXELS
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise _refused(_("is too large."), _("Save it smaller. 12 megapixels are plenty."))
        require_file(file.stat(), file)
        with Image.open(file, formats=_KINDS) as image:
            if image.width * image.height > _MOST_PIXELS:
                raise _refused(_("has too many pixels."), _("Save it smaller. 12 megapixels are plenty."))
            smaller = image if image.mode in ("L", "RGB") else image.convert("RGB")  # others cannot blend colours
            smaller.thumbnail((largest, largest))
            return ImageOps.exif_transpose(smaller).convert("RGB")
    except FileNotFoundError:
        raise _refused(_("no longer exists.")) from None
    except UnidentifiedImageError:
        raise _refused(_("is of a kind that this program cannot read."), _("Save it as JPEG or PNG.")) from None
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as trouble:
        reason = str(trouble)[:80].encode("ascii", "replace").decode()
        raise _refused(_("cannot be read ({why}).", why=reason), _("Save it again as JPEG or PNG.")) from None


def _refused(text: str, right: str = "") -> JobError:
    return JobError([Mistake(place=_("picture"), what=text, right=right)])
