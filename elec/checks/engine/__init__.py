"""Checks of what the engine needs."""
