"""What the builder's file says, as frozen records in SI-like floats.

In: nothing. Out: `System` and the entries it holds. A field's name less its unit suffix is its
key in the file (`length_m` is `length`, `from_` is `from`); None means the builder did not say.
The text under a field is its description in docs/file-format.md and in the JSON Schema.
"""
