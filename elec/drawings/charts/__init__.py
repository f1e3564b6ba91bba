"""Charts: plain numbers come in, pictures in millimetres come out.

In: the small record at the top of each module. Out: `ink.Picture`; those of the book are as wide as
the text of A4 less its binding edge. Lettering is about 9 pt and black. Areas differ by hatch and
lines by dash as well as by colour, so that a grey print says the same.
"""
