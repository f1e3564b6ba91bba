"""Neutral pages → bytes in a format. One module a format, found by walking this folder.

In: a `Section` or a `Book`. Out: bytes. To add a format, add one file `to_<format>.py` whose
function stands under `@writer(".ending")`.
"""
