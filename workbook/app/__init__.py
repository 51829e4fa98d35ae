"""The window: Qt, and nothing but Qt. Pages hold no geometry, no money, no file."""
