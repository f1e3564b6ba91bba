"""Loads by phase and bus, sources, voltages, the battery alone."""
