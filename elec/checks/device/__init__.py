"""Checks of breakers, fuses and limiters: there, holding, protecting, opening, in step."""
