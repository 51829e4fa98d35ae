"""The dialogs beside the window."""
