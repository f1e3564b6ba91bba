"""Checks of switches, relays and contactors."""
