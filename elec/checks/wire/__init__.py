"""Checks of wires: heat, drop, strength, length, chart, return."""
