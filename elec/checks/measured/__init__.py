"""Checks of measured values."""
