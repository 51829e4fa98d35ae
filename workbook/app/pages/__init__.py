"""Pages of the window. They do not know each other."""
