"""Printed sheets as neutral drawings: paper, tiles, check bars; template, master and bar sheets.

A sheet is a list of `SheetPage`s of marks in mm; text widths are passed in as a function, so that nothing here depends on a font.
"""
