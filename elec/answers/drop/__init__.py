"""What is lost on the way: voltage drops, and how each voltage and current came about.

In: the sized wiring. Out: `drops.LoadDrop` and workings. Begin with `drops`.
"""
