"""Older texts of a system: in git, in a book, in the issues beside it.

In: what was asked for. Out: a `Reading`, as of any other text. Nothing kept is ever changed.
"""
