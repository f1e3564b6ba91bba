"""Which protective device and which gauge: chosen together, the least that passes.

In: the wiring. Out: `sizing.Sizing`, each size with what decided.

Begin with `sizing`; the search is in `search`, what it gives in `chosen`. `devices` and `picking`
choose breakers and fuses, `feeder_devices` those of feeders, `candidates` and `choices` say what
else would do and why not smaller.
"""
