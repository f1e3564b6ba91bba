"""Devices and gauges: the smallest that pass, found together, since bundles depend on gauges.

In: demand, devices, surroundings; for feeders and grounds the solved network. Out: `Sizing`.
"""

from elec.sizing.chosen import Sizing
from elec.sizing.devices import Device
from elec.sizing.links import with_links
from elec.sizing.order import ground_wires
from elec.sizing.search.rounds import SizeSearch
from elec.sizing.search.state import Work
from elec.standards import WireSize
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.wires import kind_of, size_of


@analysis
def sizing(study: Study) -> Sizing:
    """Choose what is not given until nothing changes."""
    return with_links(study, SizeSearch(study).run())


def guarding(study: Study, chain: Chain) -> Device | None:
    """The device that guards a chain: its own; without one the greatest before it.

    None where there is none, or where one of several has no rating yet.
    """
    found = [sizing(study).devices.get(name) for name in (*chain.guards, chain.name)]
    known = [device for device in found if device is not None]
    if any(device.rating_a is None for device in known):
        return next(device for device in known if device.rating_a is None)
    return max(known, key=lambda device: device.rating_a or 0.0, default=None)


def ended(study: Study) -> SizeSearch:
    """The search as it ended: to ask it again what it would say of other gauges."""
    done = sizing(study)
    search = SizeSearch(study)
    search.work = Work(
        gauges={name: gauge.awg for name, gauge in done.gauges.items()},
        devices=dict(done.devices),
        currents={name: dict(amps) for name, amps in done.currents_a.items()},
        loading=dict(done.loading),
        moments=dict(done.worst_moment),
    )
    for name, ground in study.document.grounds.items():
        if ground.second is not None:  # each is sized for what both carry
            pair = ground_wires(study)[name]
            own = [conductor.id for chain in pair for conductor in chain.conductors()]
            shares = [done.currents_a.get(one, {}) for one in own]
            both = {m: sum(share.get(m, 0.0) for share in shares) for m in shares[0]}
            search.work.currents.update(dict.fromkeys(own, both))
    for chain in chains(study).of("circuit"):
        for conductor in chain.conductors():
            search.most_a[conductor.id] = done.peaks_a[conductor.id]
        search.passes(chain)
    return search


def wire_of(study: Study, conductor: Conductor) -> WireSize:
    """What the gauge of a conductor, chosen or given, is of its wire type."""
    return size_of(study, conductor, sizing(study).gauges[conductor.id].awg)


def rated_degc(conductor: Conductor, study: Study) -> float:
    """The temperature that a conductor's insulation is rated for."""
    return kind_of(study, conductor).rated_degc
