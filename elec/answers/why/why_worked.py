"""The hand calculation that a number came from, by what it works out and of which thing.

In: the `Ref` of a term. Out: workings. What a page does not print itself is followed from here.
"""

from collections.abc import Callable, Mapping

from elec.answers.drop.why_current import circuit_working, wire_current_workings
from elec.answers.heat.heat import WireHeat, heat
from elec.answers.heat.why_wires import chain_resistance_working, length_working, resistance_working
from elec.answers.loads.why_draw import greatest_working, pulse_workings
from elec.answers.time.release import releases
from elec.answers.why.why_thing import bundle_working
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.working import Ref, Working

Made = tuple[Working | None, ...]


def worked(study: Study, ref: Ref) -> tuple[Working, ...]:
    """The hand calculations that a reference names; none of a thing that has none."""
    return tuple(one for one in WORKED[ref.what](study, ref.of) if one is not None and one.steps)


@analysis
def _conductors(study: Study) -> Mapping[str, Conductor]:
    return {one.id: one for one in chains(study).conductors()}


def _carries(study: Study, name: str) -> Made:
    """A circuit as it is counted, then as the network has it where that is more."""
    chain = chains(study).by_name.get(name)
    if chain is None or chain.kind != "circuit":
        return ()
    feeds = [one for one in chain.conductors() if one.role == "feed"][:1]
    return (circuit_working(study, chain),
            *(one for wire in feeds for one in wire_current_workings(study, wire)))  # fmt: skip


def _length(study: Study, name: str) -> Made:
    wire = _conductors(study)[name]
    return (resistance_working(study, wire) or length_working(study, wire),)


def _resistance(study: Study, name: str) -> Made:
    if name in _conductors(study):
        return _length(study, name)
    chain = chains(study).by_name.get(name)
    return (chain_resistance_working(study, chain),) if chain else ()


def _heat(part: Callable[[WireHeat], Working]) -> Callable[[Study, str], Made]:
    return lambda study, name: (part(heat(study)[name]),) if name in heat(study) else ()


def _release(study: Study, name: str) -> Made:
    found = releases(study).get(name)
    return (found.fitted.working,) if found is not None and found.fitted is not None else ()


WORKED: Mapping[str, Callable[[Study, str], Made]] = {
    "draw": lambda study, name: (greatest_working(study, name), *pulse_workings(study, name)),
    "carries": _carries,
    "current": lambda study, name: wire_current_workings(study, _conductors(study)[name]),
    "length": _length,
    "resistance": _resistance,
    "heat": _heat(lambda found: found.working),
    "temperature": _heat(lambda found: found.temperature),
    "release": _release,
    "bundle": lambda study, name: (bundle_working(study, name),),
}
"""What it works out → how, by the identifier of the thing."""
