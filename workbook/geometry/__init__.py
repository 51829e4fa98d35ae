"""Curves, arcs, polygons and drawings. Millimetres; x to the right, y up; angles in radians.

Outlines stay curves (`path`) until something needs points; `polygon` wraps shapely.
"""
