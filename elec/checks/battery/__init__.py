"""Checks of batteries: endurance, what is counted on, rate, start, warning."""
