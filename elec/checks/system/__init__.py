"""Checks of the file as a whole: limits, zones, build states."""
