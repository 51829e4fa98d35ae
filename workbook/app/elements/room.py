"""How wide the parts of a page are on a page of a width: pixels of a page, as if its letters were of the usual size."""

from workbook.app.look import Look

WIDE, CLOSE, TIGHT = 1280, 1000, 940  # from here the shelf is wide; below, it is behind a button, and that has no word
_ROOMY = 1180  # from here the numbers beside a board have all the width they can use


def roominess(look: Look, width: int) -> float:
    """The width of a page in pixels at the usual size of letters."""
    return width / look.text


def side_width(look: Look, width: int) -> int:
    """The width in pixels of the numbers beside a board."""
    room = roominess(look, width)
    return look.px(340 if room >= _ROOMY else 320 if room >= CLOSE else 288)
