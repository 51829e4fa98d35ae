"""The page Grind: the section as it is ground, and the bench card beside it."""
