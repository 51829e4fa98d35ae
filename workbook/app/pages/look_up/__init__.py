"""The page Look up: tables of the trade."""
