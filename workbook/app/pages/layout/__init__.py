"""The page Lay out: bars with their blanks, found by the search or moved by hand."""
