"""Readers and writers, one file format each; they do not know each other and hold no trade knowledge."""
