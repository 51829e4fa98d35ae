"""Maker's Workbook: from a bar of steel to delivered knives, for makers who grind from stock in small batches."""

__version__ = "0.1.0"
