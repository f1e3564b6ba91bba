"""Checks of feeders: drop, cranking, device, diode, stub, master, always live, changeover."""
