"""Lists that a builder keeps in a spreadsheet.

In: a .csv or .xlsx file. Out: what its rows say, or every cell that is refused with sheet, row and
column. Nothing is guessed: what a head does not say is asked for.
"""
