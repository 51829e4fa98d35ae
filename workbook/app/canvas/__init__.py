"""Painting neutral drawings, and the widgets that show them."""
