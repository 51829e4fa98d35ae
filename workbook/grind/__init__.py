"""Bevels: thickness along the blade, angle and height of the grind, and where both grind lines go."""
