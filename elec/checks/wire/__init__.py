"""Checks of wires: heat, drop, strength, length."""
