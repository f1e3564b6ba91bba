"""Drawings: records of what is to be drawn come in, sheets in millimetres and their SVG come out.

In: the frozen records of `inputs`, built from a study by `from_study`.
Out: `sheet.Sheet` (items with kind, reference, net, box, segments and size), `svg.to_svg`, the
index from a reference to its sheet and zone, and `inspect.inspect`, which looks for faults on a
finished sheet.

Layout, text and checks are made here, in millimetres from the sheet's top left corner, y down;
the symbols are drawn by schemdraw.
"""
