"""A study as records to be drawn: texts, nodes, rows and pins taken from the analyses.

In: a `Study`. Out: the records of `elec.drawings.inputs`.
"""
