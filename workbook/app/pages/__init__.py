"""The pages of the window, each a package of its own. They do not import each other."""
