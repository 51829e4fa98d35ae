"""Pages of the window, each a package with its parts. They do not know each other."""
