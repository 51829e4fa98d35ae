"""Tests of sheaths."""
