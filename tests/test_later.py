"""Modules that load at their first use."""

import sys

import numpy
import pytest
import shapely as geometry

from workbook.later import are_loaded, modules, np, shapely


def test_what_is_asked_of_them_is_the_library_s_own():
    assert np.hypot is numpy.hypot
    assert shapely.Polygon is geometry.Polygon
    assert are_loaded()


def test_a_module_of_the_program_comes_when_it_is_asked_and_is_asked_each_time(monkeypatch):
    monkeypatch.delitem(sys.modules, "workbook.structs")
    (structs,) = modules("structs")
    assert "workbook.structs" not in sys.modules
    assert callable(structs.replace)
    monkeypatch.setattr("workbook.structs.replace", "another")
    assert structs.replace == "another"
    with pytest.raises(AttributeError, match="nothing"):
        _ = structs.nothing
