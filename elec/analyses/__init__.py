"""Study → frozen results, without verdicts.

In: a `Study`. Out: one frozen record an analysis, computed once. Order of use: chains (what is
joined to what) → runs (lengths) → demand (currents by phase) → sizing (devices and gauges) →
points (voltages and currents of every case) → loads, endurance, heat, drops, pins.
"""
