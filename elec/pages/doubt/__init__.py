"""How sure the numbers are."""
