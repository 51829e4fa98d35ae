"""The whole workbook as frozen records, and every change to it as an edit with its inverse. No files, clock or randomness."""
