"""How returns lead home, and which loops they close.

In: the sized wiring. Out: ground points with what lands on them, loops. Begin with `grounding`.
"""
