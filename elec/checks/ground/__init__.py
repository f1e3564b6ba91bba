"""Checks of grounds: studs, structure, redundancy, resistance, fuel vapour."""
