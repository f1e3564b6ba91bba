"""Checks of cables: loss of coaxial lines, their centre, shields, length cut."""
