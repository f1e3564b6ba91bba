"""Checks of the state of building."""
