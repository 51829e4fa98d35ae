"""Lines typed for a hole."""

import pytest

from workbook.template.hole_entry import HoleEntryError, hole_entry
from workbook.template.model import Purpose
from workbook.units import INCH


def read(text, unit="in"):
    """What a line says."""
    entry = hole_entry(text, unit)
    return entry.purpose, entry.size, entry.along, entry.across


@pytest.mark.parametrize(
    ("text", "purpose", "size", "along", "across"),
    [
        ("pin 1/8 at 1 1/4", Purpose.PIN, 1 / 8, 1.25, None),
        ("1/8 pin at 1 1/4", Purpose.PIN, 1 / 8, 1.25, None),
        ("Bolt 3/16 at 3.5, 0.4", Purpose.BOLT, 3 / 16, 3.5, 0.4),
        ("bolt 0.1875 @ 3 1/2; 3/8", Purpose.BOLT, 0.1875, 3.5, 0.375),
        ("handle bolt at 2", Purpose.BOLT, None, 2.0, None),
        ("lanyard tube 1/4 in at 5/8, -1/16", Purpose.LANYARD, 0.25, 0.625, -0.0625),
        ("epoxy hole 1/4 at 2 1/2", Purpose.EPOXY, 0.25, 2.5, None),
        ("pin ⅛ at 1 ¼", Purpose.PIN, 1 / 8, 1.25, None),
        ("  PIN   1/8   AT   1 1/4  ", Purpose.PIN, 1 / 8, 1.25, None),
        ("pin 1/8 inch at 1 inch", Purpose.PIN, 1 / 8, 1.0, None),
        ("125 thou pin at 1", Purpose.PIN, 1 / 8, 1.0, None),
    ],
)
def test_a_line_in_inches(text, purpose, size, along, across):
    said = read(text)
    assert said[0] is purpose
    lengths = [None if v is None else v * INCH for v in (size, along, across)]
    assert said[1:] == tuple(pytest.approx(v) for v in lengths)


@pytest.mark.parametrize(
    ("text", "size", "along", "across"),
    [("pin 3 at 32", 3, 32, None), ("pin 3,2 at 31,5, 12", 3.2, 31.5, 12), ("pin 1/8 in at 32 mm, 12.5", 3.175, 32, 12.5)],
)
def test_a_line_in_millimetres(text, size, along, across):
    assert read(text, "mm")[1:] == tuple(None if v is None else pytest.approx(v) for v in (size, along, across))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "e.g. pin 1/8 at 1 1/4"),
        ("pin 1/8", "Type what it is and where"),
        ("rivet 1/8 at 2", "“rivet” is not a pin, bolt, tube or epoxy hole"),
        ("1/8 at 2", "Type what it is and where"),
        ("pin 1/8 at 1, 2, 3", "one number along"),
        ("pin 1/8 at here", "“here”"),
        ("pin 1//8 at 2", "“1//8”"),
        ("pin 0 at 2", "“0”: from "),
        ("pin 1.2 at 2", "“1.2”: from "),
        ("pin 1/8 at -5", "“-5”: from 0 to "),
        ("pin 1/8 at 500", "“500”: from 0 to "),
        ("pin 1/8 at 3, -50", "“-50”: from "),
    ],
)
def test_a_line_that_is_no_hole_says_what_would_be_right(text, why):
    with pytest.raises(HoleEntryError, match=why):
        read(text)
