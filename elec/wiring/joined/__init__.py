"""What is joined to what, piece by piece: `elec.wiring.chains` is where to begin.

In: the builder's entries. Out: chains of parts and conductors.
"""
