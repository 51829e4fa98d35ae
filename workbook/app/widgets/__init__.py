"""Small widgets of our own, each with its name and accessible name from birth."""
