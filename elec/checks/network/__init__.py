"""Checks of the network as a whole: solved, reached."""
