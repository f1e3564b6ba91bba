"""A flight over time."""
