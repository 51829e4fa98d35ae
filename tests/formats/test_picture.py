"""Pictures changed at random: read, or refused with a word, and quickly."""

import random
import time

import pytest
from PIL import Image

from tests.counts import tries
from tests.mutation import mutated
from workbook.formats.picture import LARGEST, read_picture
from workbook.problems import JobError

COUNT = tries(150, 10_000)
KINDS = ("png", "jpeg", "webp", "tiff", "bmp")
PIECES = [b"\x00\x00\xff\xff", b"IDAT", b"\xff\xd8", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x00", b"RIFF", b"Exif\x00\x00"]


@pytest.fixture(scope="module")
def pictures():
    """A picture with some detail, in each form."""
    from io import BytesIO

    made = {}
    image = Image.effect_noise((90, 60), 60).convert("RGB")
    for kind in KINDS:
        at = BytesIO()
        image.save(at, kind)
        made[kind] = at.getvalue()
    return made


@pytest.mark.filterwarnings("ignore::UserWarning")  # of damaged notes in a picture, which are not looked at
def test_a_picture_changed_at_random_is_read_or_refused(pictures, tmp_path):
    chance, file, read = random.Random(7), tmp_path / "photo", 0
    for n in range(COUNT):
        file.write_bytes(mutated(pictures[KINDS[n % len(KINDS)]], chance, PIECES))
        began = time.monotonic()
        try:
            picture = read_picture(file)
        except JobError as trouble:
            assert trouble.lines()[0].startswith("picture ") or trouble.lines()[0].startswith("picture:")
        else:
            read += 1
            assert max(picture.width, picture.height) <= LARGEST
            assert len(picture.pixels) == picture.width * picture.height * 3
        assert time.monotonic() - began < 10
    assert 0 < read < COUNT
