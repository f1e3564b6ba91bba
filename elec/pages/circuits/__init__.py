"""Tables of circuits: wires, devices, feeders, bundles, grounds, pins, panels, equipment."""
