"""Bundles and ground points by hand: sums over what lies or ends there.

In: surroundings, sizing, loops, the solved cases. Out: hand calculations whose results are those
of the analyses.
"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.drop.why_network import balance_working, worst_balance
from elec.answers.grounds.grounding import GroundPoint
from elec.answers.heat.heat import bundle_use
from elec.answers.heat.heat_working import bundle_step, fit, loading_steps
from elec.answers.short.fault_working import route_terms
from elec.physics.heat import ampacity_a
from elec.sizing.sizing import rated_degc, sizing
from elec.study import Study
from elec.wiring.chains import Conductor, chains, ground_node
from elec.wiring.hand import computed, height_steps, total
from elec.wiring.limits import limit
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import kind_of, size_of
from elec.working import Step, Term, Working


def bundle_working(study: Study, key: str) -> Working | None:
    """What the wires of a bundle carry and could carry, and the factor that follows.

    None for a bundle without power wires.
    """
    around, done = surroundings(study), sizing(study)
    bundle, use = around.bundles[key], bundle_use(study)[key]
    power = {c.id: c for c in _power(study)}
    inside = [power[member] for member in bundle.members if member in power]
    if not inside or use.capacity_a <= 0:
        return None
    moment = use.moment
    carried = [(c, done.currents_a.get(c.id, {}).get(moment, 0.0)) for c in inside]
    currents = [
        Term(symbol=f"i{n}", value=amps, unit="A", meaning=marks(study)[c.id],
             origin=f"current of {marks(study)[c.id]}, {moment[0]}, {moment[1]}")
        for n, (c, amps) in enumerate(((c, a) for c, a in carried if a > 0), 1)
    ]  # fmt: skip
    when = f"{moment[0]}, {moment[1]}" if moment[0] else "no moment with a current"
    together = computed("S", use.amps, "A", f"currents of all wires here together, {when}",
                        formula=total(currents), terms=currents)  # fmt: skip
    height = height_steps(around.altitude, around.altitude_factor)
    sums = tuple(_capacity(study, key, inside, height[-1].result))
    count = Term(symbol="N", value=bundle.wires, unit="",
                 meaning=f"wires in one bundle {bundle.where}",
                 origin=f"{len(bundle.members)} conductors in {bundle.bundles} bundle"
                 + ("s" if bundle.bundles > 1 else ""))  # fmt: skip
    used = loading_steps(together.result, sums[-1].result, count)
    factor = bundle_step(used[-1].result, count)
    return Working(
        title=f"Bundle {bundle.where}",
        steps=(together, *height, *sums, *used, factor),
        binds=when,
    )


ALONE = Term(symbol="f", value=1.0, unit="", meaning="no neighbours", origin="a wire alone")


def _power(study: Study) -> Iterator[Conductor]:
    for chain in chains(study).by_name.values():
        if chain.kind != "cable":
            yield from chain.conductors()


def _capacity(study: Study, key: str, inside: list[Conductor], thin: Term) -> Iterator[Step]:
    """What the wires could carry without neighbours: per kind, then together."""
    around = surroundings(study).bundles[key].ambient
    kinds: dict[tuple[str, str], list[Conductor]] = {}
    for conductor in inside:
        kind = (sizing(study).gauges[conductor.id].awg, kind_of(study, conductor).name)
        kinds.setdefault(kind, []).append(conductor)
    terms: list[Term] = []
    pieces: list[str] = []
    for n, ((awg, kind_name), members) in enumerate(sorted(kinds.items()), 1):
        wire, rated = size_of(study, members[0], awg), rated_degc(members[0], study)
        b, m = fit(wire)
        top = Term(symbol="Tr", value=rated, unit="degC", meaning="insulation rating",
                   origin=f"{kind_name}: {kind_of(study, members[0]).origin}")  # fmt: skip
        alone = ampacity_a.step(
            b, top, around, m, ALONE, thin, symbol=f"c{n}",
            meaning=f"AWG {awg} rated {rated:g} °C without neighbours",
        )  # fmt: skip
        yield alone
        count = Term(symbol=f"n{n}", value=float(len(members)), unit="", origin="counted",
                     meaning=f"wires of AWG {awg}")  # fmt: skip
        terms += [count, alone.result]
        pieces.append(f"n{n} * c{n}")
    yield computed("C", bundle_use(study)[key].capacity_a, "A",
                   "what each could carry here without neighbours, together",
                   formula=" + ".join(pieces), terms=terms)  # fmt: skip


def ground_path_working(study: Study, point: GroundPoint) -> Working | None:
    """The resistance between a ground point and the battery's negative; None where there is none.

    Cold wires, against what is held satisfactory.
    """
    if point.route is None or not point.route.pieces:
        return None
    terms = list(route_terms("r", study, point.route, hot=False))
    most = limit(study, "ground-path")
    step = computed("R", point.route.cold_ohm, "ohm", "from here to the main ground, cold",
                    formula=total(terms), terms=terms)  # fmt: skip
    title = study.system.title("grounds", point.name)
    allowed = Term(symbol="", value=most.value, unit="ohm", meaning="held satisfactory",
                   origin=most.origin)  # fmt: skip
    return Working(
        title=f"Resistance from {title} to the main ground", steps=(step,), limit=allowed
    )


def returning_working(study: Study, name: str) -> Working | None:
    """What comes back through a ground point in the worst case; None where nothing does."""
    found = worst_balance(study, ground_node(name))
    if found is None or not found.incoming:
        return None
    made = balance_working(found, study.system.title("grounds", name))
    return Working(title=made.title, steps=made.steps[:1], binds=found.title)
