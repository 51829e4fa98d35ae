"""Printed sheets as neutral drawings: paper, tiles, check bars; template, master and bar sheets.

A sheet is a list of `Page`s of marks in mm; text widths come in as a function, so that nothing here knows a font.
"""
