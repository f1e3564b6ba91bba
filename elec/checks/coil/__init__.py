"""Checks of the coils of contactors and relays."""
