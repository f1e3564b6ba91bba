"""What holds for the wires and devices of any system, on random systems of the family.

Each example is a whole system, read from text and sized; few of them, always the same ones.
"""

from functools import cache
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from elec.answers.heat.heat import WireHeat, heat
from elec.physics.heat import bundle_factor, conductor_temperature_degc
from elec.sizing.sizing import sizing
from elec.standards import AWGS, NotCovered
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import size
from tests.answers.helper import small
from tests.network.family import family_text

EXAMPLES = settings(max_examples=5, deadline=None, derandomize=True)
SYSTEMS = st.sampled_from([(2, 0), (5, 17), (9, 41), (13, 8), (21, 3)])
"""Number of circuits and seed; shared by all tests, since a system takes a second to size."""
CROSSING_K = 0.05
"""The laws of two gauges, fitted from 30 K on, cross below this rise, where nothing is hot."""
SAME = 1 + 1e-9
CEILING = "nominal: 14 V, ceiling: {feet} ft"


@cache
def _study(circuits: int, seed: int, feet: int = 10000, spares: int = 0) -> Study:
    text = family_text(circuits, seed).replace("nominal: 14 V", CEILING.format(feet=feet))
    cables = "".join(
        f"  spare-{k}: {{type: 4-core AWG 20, from: panel, to: tail, spare: yes}}\n"
        for k in range(spares)
    )
    return small(text + (f"multicores:\n{cables}" if cables else ""))


def _expected_degc(study: Study, found: WireHeat, awg: str) -> float | None:
    """The temperature of a gauge in the tightest spot of a wire, loaded as it is."""
    wire = size(found.kind, awg)
    try:
        return conductor_temperature_degc(
            current_a=found.current_a,
            free_air_b=wire.free_air_b,
            free_air_m=wire.free_air_m,
            ambient_degc=found.ambient_degc,
            bundle_factor=bundle_factor(wires=found.wires, loading=found.loading),
            altitude_factor=surroundings(study).altitude_factor.value,
        )
    except NotCovered:
        return None


@EXAMPLES
@given(SYSTEMS)
def test_a_thicker_wire_is_never_hotter(system: tuple[int, int]) -> None:
    study = _study(*system)
    compared = 0
    for found in heat(study).values():
        gauges = [a for a in AWGS if found.kind.made(a)]
        temperatures = [_expected_degc(study, found, awg) for awg in gauges]
        known = [t for t in temperatures if t is not None]
        # beyond the curves there is no number, and then for all thinner gauges neither
        assert temperatures[len(temperatures) - len(known) :] == known
        assert all(thick <= thin + CROSSING_K for thin, thick in pairwise(known))
        compared += len(known) > 1
    assert compared >= system[0]


@EXAMPLES
@given(SYSTEMS)
def test_a_device_is_never_larger_than_its_wire_allows(system: tuple[int, int]) -> None:
    study = _study(*system)
    done = sizing(study)
    compared = 0
    for chain in chains(study).by_name.values():
        device = done.devices.get(chain.name)
        for conductor in chain.conductors():
            found = heat(study).get(conductor.id)
            if device is None or device.rating_a is None or found is None:
                continue
            gauge = done.gauges[conductor.id]
            if gauge.chosen and gauge.satisfied:
                assert device.rating_a <= found.allowed_a * SAME, conductor.id
                compared += 1
    assert compared >= 2 * system[0]


@EXAMPLES
@given(SYSTEMS)
def test_a_device_holds_its_load_and_the_wire_bears_it(system: tuple[int, int]) -> None:
    study = _study(*system)
    for device in sizing(study).devices.values():
        assert device.rating_a is not None
        assert device.needed_a is not None
        assert device.rating_a >= device.needed_a / SAME
    for found in heat(study).values():
        assert found.current_a <= found.allowed_a * SAME
        assert found.expected_degc is not None
        assert found.expected_degc <= found.rated_degc + 1e-6


def _same_gauges(one: Study, other: Study) -> list[tuple[WireHeat, WireHeat]]:
    """Wires of two systems that lie alike: the same gauge, current and spot."""
    pairs = []
    for name, found in heat(one).items():
        against = heat(other)[name]
        alike = found.awg == against.awg and found.spot == against.spot
        if alike and abs(found.current_a - against.current_a) <= 1e-6 * (1 + found.current_a):
            pairs.append((found, against))
    return pairs


@EXAMPLES
@given(SYSTEMS)
def test_higher_up_no_wire_is_cooler(system: tuple[int, int]) -> None:
    """30 000 ft against sea level; a gauge may grow, none shrinks."""
    low, high = _study(*system, feet=100), _study(*system, feet=30000)
    for name, gauge in sizing(low).gauges.items():
        assert AWGS.index(sizing(high).gauges[name].awg) >= AWGS.index(gauge.awg)
    pairs = _same_gauges(low, high)
    assert len(pairs) >= system[0]
    for below, above in pairs:
        assert above.allowed_a <= below.allowed_a * SAME
        assert above.expected_degc is not None
        assert below.expected_degc is not None
        assert above.expected_degc >= below.expected_degc - 1e-6


@EXAMPLES
@given(SYSTEMS)
def test_in_a_larger_bundle_no_wire_is_cooler(system: tuple[int, int]) -> None:
    """Twelve spare cores more on the ways from panel to tail."""
    alone, packed = _study(*system), _study(*system, spares=3)
    before = surroundings(alone).bundles
    after = surroundings(packed).bundles
    assert any(after[key].wires > before[key].wires for key in before)
    for small_one, large_one in _same_gauges(alone, packed):
        assert large_one.wires >= small_one.wires
        assert large_one.allowed_a <= small_one.allowed_a * SAME
        assert large_one.expected_degc is not None
        assert small_one.expected_degc is not None
        # Alike are currents to a millionth: with thicker cables the network gives some in the
        # seventh digit fewer. The rise goes with I^(1/m), m 0.44 at least, hence 2.3 times that.
        fewer = (
            max(0.0, 1 - large_one.current_a / small_one.current_a) if small_one.current_a else 0
        )
        cooler = 1e-6 + 2.3 * fewer * small_one.expected_degc
        assert large_one.expected_degc >= small_one.expected_degc - cooler
