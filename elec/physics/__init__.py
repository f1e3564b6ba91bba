"""Formulas: numbers in, one number out.

In and out are floats with the unit at the end of the name; arguments are given by keyword. Every
function cites its source (`elec.standards.cites`) and shows a published or recomputed value. A
number outside a formula's range raises `NotCovered`.
"""
