"""Which part of the demand could be met where all of it cannot.

In: a circuit and the devices of collapsed cases. Out: a fraction per case.
"""

import numpy as np

from elec.network.circuit import Topology
from elec.network.devices import Devices
from elec.network.netlist import Array, Flags
from elec.network.operating import PointSearch

RESOLUTION = 1e-3
_COLUMNS = 128


def served_fraction(circuit: Topology, devices: Devices, some: Flags | None = None) -> Array:
    """Largest fraction of all but linear demands that can be met, (cases,).

    All demands are scaled alike, or those in `some` (loads, cases) while the others stay. The
    fraction is found by trying several at once between the largest met and the smallest not met; it
    is the largest met, so at most `RESOLUTION` low: of all demand, or of the fraction with `some`.
    """
    cases = len(devices.highest_v)
    low, high = np.zeros(cases), np.ones(cases)
    inner = max(3, min(31, _COLUMNS // cases))
    part = np.arange(1, inner + 1) / (inner + 1)
    while True:
        enough = RESOLUTION * (1.0 if some is None else np.maximum(high, RESOLUTION))
        if (high - low <= enough).all():
            return low
        trial = low + (high - low) * part[:, None]
        which = np.tile(np.arange(cases), inner)
        factor = trial.ravel()
        if some is not None:
            factor = np.where(some[:, which], factor, 1.0)
        scaled = devices.take(which).scaled(factor)
        met = PointSearch(circuit, scaled, strict=True).run().settled.reshape(trial.shape)
        count = np.logical_and.accumulate(met).sum(axis=0)
        edge = np.concatenate((low[None], trial, high[None]))
        low, high = edge[count, np.arange(cases)], edge[count + 1, np.arange(cases)]
