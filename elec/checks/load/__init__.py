"""Checks of loads: voltage, known, used, essential, basis, circuit."""
