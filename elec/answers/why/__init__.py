"""What a name on the command line means, and the workings of a thing.

In: a text. Out: `why_names.Subject`. Begin with `why_names`.
"""
