"""The bundled fonts: subsets of DejaVu Sans and DejaVu Sans Bold, and their advance widths.

The files were cut from Debian's package fonts-dejavu-core with fontTools: Latin-1, Latin
Extended-A, Greek letters used in formulas, fractions, arrows and the signs of the tables.
LICENCE.txt holds the fonts' licence.
"""
