"""What several questions need: solved cases (`points`), marks of wires, batteries over time.

In: the sized wiring. Out: the solution of every case, names, states. Begin with `points`.
"""
