"""What a short drives, which devices open in which order, what the wires bear meanwhile.

In: every source feeding. Out: fault currents, damage, clearing. Begin with `shorts`.
"""
