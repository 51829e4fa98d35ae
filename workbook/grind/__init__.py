"""Bevels: thickness along the blade, angle and height of the grind, and the position of both grind lines."""
