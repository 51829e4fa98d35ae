"""Tests of heat treatment."""
