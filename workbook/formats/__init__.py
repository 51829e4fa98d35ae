"""Readers and writers, one file format each; they are independent of each other and hold no trade knowledge."""
