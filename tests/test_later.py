"""Libraries that load at their first use."""

import numpy
import shapely as geometry

from workbook.later import are_loaded, np, shapely


def test_what_is_asked_of_them_is_the_library_s_own():
    assert np.hypot is numpy.hypot
    assert shapely.Polygon is geometry.Polygon
    assert are_loaded()
