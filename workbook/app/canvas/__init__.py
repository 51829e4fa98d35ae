"""Widgets that show drawings, and the code that paints them."""
