"""Drawings: records of what is to be drawn come in, sheets and charts in millimetres come out.

In: the frozen records of `inputs`, built from a study by `from_study`; the small records of
`charts/`. Out: `sheet.Sheet` (items with kind, reference, net, box and ink), `ink.Picture` (a
chart), the SVG of either (`svg.to_svg`), and the index from a reference to its sheet and zone.

Begin with `ink`: everything is drawn with it. Then bottom up: `metrics` (widths of text), `symbols`
(the library's and our own), `sheet`, `frame`, `layout/` (where things go, no ink), `sheets/` (one
kind of sheet each), `charts/` (axes and curves).
"""
