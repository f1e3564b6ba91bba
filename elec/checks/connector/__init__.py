"""Checks of connectors: type, double use, current, gauge, spares, live half, unwired."""
