"""The page Stock: bars and materials."""
