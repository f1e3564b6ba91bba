"""How a number came about: the hand calculations of a subject."""
