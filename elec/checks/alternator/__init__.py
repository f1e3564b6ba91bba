"""Checks of alternators: margin, idle, momentary demand, recharge, curve, overvoltage."""
