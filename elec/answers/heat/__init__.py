"""How warm every wire gets, alone and in its bundle.

In: the sized wiring and its surroundings. Out: `heat.WireHeat`. Begin with `heat`.
"""
