"""The page Draw: shelf, board and panel, checks and tables."""
