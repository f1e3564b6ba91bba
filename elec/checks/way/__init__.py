"""Checks of the ways: supports, bends, and what they come near."""
