"""The window's changes to records, by kind of record."""
