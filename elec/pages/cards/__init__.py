"""One card a thing: a wire, contact, piece of equipment, place, way, with all that is said of it.

In: the tables and answers. Out: `Card`, for the terminal (`elec show`) and for the page, where a
name anywhere opens it. Begin with card.py; nothing here computes.
"""
