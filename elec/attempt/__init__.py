"""A change that is tried before it is made: what it does to everything, and how much more fits.

In: a system's files and what is asked. Out: `Attempt`: the system before and after with what
differs; `Room`: what a bus, source, feeder, circuit, spare core or place can still take. Changes
are made on the files' text in memory, so that trying and writing are the same thing.
"""
