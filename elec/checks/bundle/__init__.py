"""Checks of the wires that share a way: heat, size, holes."""
