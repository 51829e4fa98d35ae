"""The page Lay out: bars with their blanks, found or moved by hand."""
