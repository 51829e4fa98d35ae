"""What is written where a region or a date is not one."""

import pytest

from workbook.region import REGIONS, USUAL, region_of


@pytest.mark.parametrize("text", ["", "soon", "2026-13-01", "2026-1", "20-x-1"])
def test_what_is_no_date_is_written_as_nothing(text):
    assert region_of(USUAL).day(text) == ""


def test_a_moment_has_its_time_behind_it():
    assert region_of("en-GB").moment("2026-12-04T09:05:59+01:00") == "4 Dec 2026 09:05"


def test_what_is_no_region_is_written_as_is_usual():
    assert region_of("xx") is REGIONS[USUAL]
