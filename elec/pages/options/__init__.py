"""Alternatives side by side, and the smallest change against single faults, as answers."""
