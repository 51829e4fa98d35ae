"""Tests of the planning floor."""
