"""What happens over time: starts, flights, batteries alone.

In: the network over charge (`lattice`). Out: courses, endurance, warnings. Begin with `endurance`.
"""
