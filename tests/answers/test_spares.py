"""Spares: what they can carry holds the limits that bind, and five per cent more does not."""

import pytest

from elec.answers.connect.contacts import every_contact, loaded_contacts, rating_with
from elec.answers.connect.free import CORE_WIRE, allowed_a
from elec.answers.connect.pins import pins
from elec.answers.connect.spares import Spare, contact_room, spares, zones_of
from elec.attempt.cores import room_of_core
from elec.pages.closing.table import spare_list
from elec.physics.contact import loading_factor
from elec.physics.heat import bundle_factor, conductor_temperature_degc
from elec.sizing.devices import allowed_drop_v
from elec.sizing.sizing import sizing
from elec.standards import copper, default, wire_kind
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings
from tests.answers.helper import NAMES, whole


def cores(study: Study) -> list[Spare]:
    return [one for one in spares(study) if one.what == "core" and one.lasting_a is not None]


def lost_v(study: Study, one: Spare, amps: float) -> float:
    """The drop over a core by the circular (page 11-22), out and back."""
    cable, _, key = one.name.partition(".")
    every = chains(study).by_name[cable].conductors()
    core = next(c for c in every if c.core == key)
    warm = copper(one.awg).resistance_20degc_ohm_per_m * (
        (234.5 + default("hot-resistance").value) / 254.5
    )
    ways = 2 if len(every) > 1 else 1
    wire = warm * (runs(study)[core.id].length_m or 0.0) * amps
    return ways * (wire + 2 * default("joint-resistance").si * amps)


def warmest_degc(study: Study, one: Spare, amps: float) -> float:
    cable, _, key = one.name.partition(".")
    core = next(c for c in chains(study).by_name[cable].conductors() if c.core == key)
    around, wire = surroundings(study), copper(one.awg)
    return max(
        conductor_temperature_degc(
            current_a=amps,
            free_air_b=wire.free_air_b,
            free_air_m=wire.free_air_m,
            ambient_degc=bundle.ambient.value,
            bundle_factor=bundle_factor(
                wires=bundle.wires, loading=sizing(study).loading.get(bundle.id, 0.0)
            ),
            altitude_factor=around.altitude_factor.value,
        )
        for bundle in (around.bundles[k] for k in around.of[core.id])
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_largest_current_holds_and_five_per_cent_more_does_not(name: str) -> None:
    study = whole(name)
    assert cores(study)
    for one in cores(study):
        assert one.lasting_a is not None
        limit = allowed_drop_v(study, intermittent=False)
        at, beyond = one.lasting_a, 1.05 * one.lasting_a
        assert lost_v(study, one, at) <= limit * (1 + 1e-9)
        assert warmest_degc(study, one, at) <= wire_kind(CORE_WIRE).rated_degc + 0.01
        if one.binds.startswith("wire-drop"):
            assert lost_v(study, one, beyond) > limit
        else:
            assert warmest_degc(study, one, beyond) > wire_kind(CORE_WIRE).rated_degc


@pytest.mark.parametrize("name", NAMES)
def test_room_of_a_core_says_the_same(name: str) -> None:
    study = whole(name)
    for one in cores(study):
        found = room_of_core(study, one.name)
        assert found is not None
        assert found.extra_a == pytest.approx(one.lasting_a)


@pytest.mark.parametrize("name", NAMES)
def test_a_contact_carries_its_rating_by_the_neighbours_and_itself(name: str) -> None:
    study = whole(name)
    for one in pins(study).by_id.values():
        allowed, binds = contact_room(one)
        if not allowed:
            assert binds
            continue
        rating, _ = rating_with(one, one.thickest_awg)
        loaded, contacts = loaded_contacts(one)
        assert rating is not None
        assert loaded is not None
        factor = loading_factor(loaded=min(loaded + 1, contacts), contacts=contacts)
        assert allowed <= rating * factor * (1 + 1e-9)
        assert 1.05 * allowed > rating * factor
        for other in every_contact(one):
            assert other.allowed_a is None or other.current_a <= other.allowed_a


def test_every_spare_stands_in_the_table_under_each_of_its_zones() -> None:
    study = whole("foxglove")
    table = spare_list(study)
    assert len(table.rows) == sum(max(1, len(zones_of(study, one))) for one in spares(study))
    one = next(s for s in spares(study) if s.name == "float-spare.2")
    assert one.lasting_a == pytest.approx(1.56, abs=0.005)
    assert one.state == "pulled"
    assert allowed_a(study, chains(study).by_name["float-spare"].conductors()[1], "20") > 11
