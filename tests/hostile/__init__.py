"""Hostile input: a mistake told at its line, or an answer; never a fault, a hang, nan or inf."""
