"""Tests of the making floor."""
