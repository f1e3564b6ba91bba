"""Seeded samples of every uncertain input, and the network solved for them.

In: the setting. Out: arrays of deviations and of network results. Each input has its own stream of
numbers, seeded by its name: the same text gives the same answer, and another load does not change
the samples of the rest.
"""

from binascii import crc32

import numpy as np
from msgspec.structs import asdict, replace

from elec.answers.base.points import points
from elec.answers.doubt.subjects import AllSubjects
from elec.answers.doubt.tolerances import Index, Input
from elec.model.laws import Law
from elec.network.netlist import Array, Values
from elec.network.tangent import nearby
from elec.study import Study

SEED = 1
CHUNK = 512
SCALE = 2.0**-53


def deviations(one: Input, count: int) -> Array:
    """Samples of an input's deviation, as parts of its value.

    From the raw words of a generator whose stream is fixed (PCG64), so that no version of a
    library changes them. Triangular: the mean of two uniform ones.
    """
    words = 2 * count if one.shape == "triangular" else count
    raw = np.random.PCG64([SEED, crc32(one.name.encode())]).random_raw(words)
    uniform: Array = 2.0 * SCALE * (raw >> np.uint64(11)).astype(np.float64) - 1.0
    if one.shape == "triangular":
        uniform = 0.5 * (uniform[:count] + uniform[count:])
    found: Array = one.tolerance * uniform
    return found


def sampled_inputs(every: tuple[Input, ...], moving: Index, count: int) -> Array:
    """Deviations of all inputs (inputs, samples); those that move nothing stay at 0."""
    x = np.zeros((len(every), count))
    for place in moving:
        x[place] = deviations(every[int(place)], count)
    return x


def solved_results(study: Study, asked: AllSubjects, x: Array) -> tuple[Array, int, int]:
    """The network results of every sample.

    Returns:
        the results (results, samples), how many networks had to be solved afresh, and in how many
        the demand could not be met.
    """
    model, solution = points(study).model, points(study).solution
    y = np.zeros((len(asked.results), x.shape[1]))
    afresh = unmet = 0
    for case in sorted({r.case for r in asked.results}):
        rows = [(i, r) for i, r in enumerate(asked.results) if r.case == case]
        for first in range(0, x.shape[1], CHUNK):
            part = slice(first, min(first + CHUNK, x.shape[1]))
            moved = _moved(asked, model.values, model.netlist.load_laws, case, x[:, part])
            found = nearby(model.netlist, moved, solution, case)
            drawn = -np.nan_to_num(found.battery_a).sum(axis=0)
            volts = np.nan_to_num(found.load_v)
            for i, r in rows:
                if r.alternators:
                    y[i, part] = found.alternator_a[list(r.alternators)].sum(axis=0)
                else:
                    y[i, part] = drawn if r.load is None else volts[r.load]
            afresh += found.afresh
            unmet += int((~found.solved).sum())
    return y, afresh, unmet


def _moved(
    asked: AllSubjects, values: Values, laws: tuple[Law, ...], case: int, x: Array
) -> Values:
    """The values of a case, moved by the deviations of each sample."""
    count = x.shape[1]
    wide = np.full(count, case, np.intp)
    base = Values(**{name: array[:, wide] for name, array in asdict(values).items()})
    padded = np.concatenate((x, np.zeros((1, count))))  # -1 reads the row of zeros

    def times(moved: Index) -> Array:
        found: Array = 1.0 + padded[moved]
        return found

    every = asked.inputs
    draw = times(every.load)
    inverse = np.array([law.inverse for law in laws], np.bool_)
    draw[inverse] = 1.0 / draw[inverse]
    diode = times(every.diode)
    return replace(
        base,
        load_value=base.load_value * draw,
        resistance_ohm=base.resistance_ohm * times(every.resistor),
        battery_emf_v=base.battery_emf_v * times(every.battery_v),
        battery_resistance_ohm=base.battery_resistance_ohm * times(every.battery_resistance),
        diode_forward_v=base.diode_forward_v * diode,
        diode_resistance_ohm=base.diode_resistance_ohm * diode,
        alternator_setpoint_v=base.alternator_setpoint_v * times(every.alternator_v),
        alternator_limit_a=base.alternator_limit_a * times(every.alternator_output),
    )
