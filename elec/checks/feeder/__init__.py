"""Checks of feeders: drop, cranking, device, which end, master, always live, changeover."""
