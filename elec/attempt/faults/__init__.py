"""The smallest change after which no single fault stops the engine or takes an essential bus.

In: a system's files. Out: `Search`: what single faults do now, which changes were tried, and the
smallest sets of them after which no single fault does that any more, each with its grams and its
length of wire. A search within what is offered, which proves nothing beyond it.
"""
