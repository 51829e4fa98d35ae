"""The dialogs of the main window."""
