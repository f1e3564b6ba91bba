"""How sure the answers are, and what to measure first.

In: tolerances of what was given. Out: bands, ranked inputs, measured against expected. Begin with
`uncertainty`.
"""
