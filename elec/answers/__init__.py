"""What follows from the sized wiring: a folder a question, bottom up.

In: a study. Out: frozen results with their workings; no verdict is given here. A folder asks only
folders before it in this list: `base`, `loads`, `drop`, `grounds`, `heat`, `connect`, `fields`,
`time`, `failures`, `short`, `doubt`, `why`, `build`.
"""
