"""What goes to which contact, terminal, hole and panel position, and how it is proved.

In: the sized wiring. Out: pins, holes, switches, spares, cables. Begin with `pins`.
"""
