"""What is joined to what, where it lies, what draws when: all before a size is chosen.

In: a study of the builder's text. Out: frozen records, computed once a study.

Begin with `chains` (the rows of things and wires that network, tables and drawings all read). Then
`ways` and `runs` (where a wire lies, how long it is), `demand` and `cases` (what draws when),
`sources`, `surroundings` (bundles and heat around), `limits`, `circuit_model` (all of it as a
network).
"""
