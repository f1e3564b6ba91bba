"""What the bench and the closing of zones ask: state, differences, weight, a case for a simulator.

In: the sized wiring, what is done. Out: records for pages. Begin with `closing`.
"""
