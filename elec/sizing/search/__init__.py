"""The search for the smallest gauges and devices that pass.

In: demand, surroundings, wires, devices. Out: `rounds.SizeSearch`. One search in layers, each
standing on the one before: `state` (the system, and how far the work has come), `heat`, `drop`,
`solved` (feeders and grounds by the network), `obstacle` (why a gauge does not do), `rounds`.
"""
