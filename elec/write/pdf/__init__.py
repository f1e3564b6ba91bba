"""PDF: sheets and charts as vectors in true millimetres, pages of text and tables.

In: `Sheet`, `Picture`, or a `Book`. Out: bytes, the same for the same input; letters
are the bundled font, so that they can be searched and copied.
"""
