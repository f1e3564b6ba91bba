"""The kinds of sheet: each takes one record of `elec.drawings.inputs` and gives its sheets."""
