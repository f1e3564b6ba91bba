"""Alternatives of a circuit, a feeder or the whole system, side by side.

In: a system's files, a subject. Out: `Option` records: each a real change of the text, put to the
same solver and checks as the system as it is, with what it weighs, loses and has left, and by which
other one it is dominated. Nothing is recommended.
"""
