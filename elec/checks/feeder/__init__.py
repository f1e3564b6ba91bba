"""Checks of feeders: drop, cranking, device, stub, master, always live, changeover."""
