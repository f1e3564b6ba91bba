"""Bundles and ground points by hand: sums over what lies or ends there.

In: surroundings, sizing, loops, the solved cases. Out: hand calculations whose results are those
of the analyses.
"""

from elec.answers.base.marks import marks
from elec.answers.drop.why_network import balance_working, worst_balance
from elec.answers.grounds.grounding import GroundPoint
from elec.answers.grounds.loops import route_terms
from elec.answers.heat.heat import BundleUse, bundle_use
from elec.answers.heat.heat_working import bundle_step, fit
from elec.physics.heat import ampacity_a
from elec.sizing.sizing import rated_degc, sizing
from elec.study import Study
from elec.wiring.chains import Conductor, chains, ground_node
from elec.wiring.hand import height_step
from elec.wiring.limits import limit
from elec.wiring.surroundings import Bundle, surroundings
from elec.wiring.wires import kind_of, size_of
from elec.working import Ref, Step, Term, Working, computed, given, leading_to, total


def bundle_working(study: Study, key: str) -> Working | None:
    """What the wires of a bundle carry and could carry, and the factor that follows.

    None for a bundle without power wires.
    """
    bundle, use = surroundings(study).bundles[key], bundle_use(study)[key]
    if use.capacity_a <= 0:
        return None
    moment = use.moment
    when = f"{moment[0]}, {moment[1]}" if moment[0] else "no moment with a current"
    currents = [
        Term(f"i{n}", amps, "A", mark, f"current of {mark}, {when}", Ref("current", name))
        for n, (name, amps) in enumerate((one for one in use.carried_a if one[1] > 0), 1)
        for mark in (marks(study)[name],)
    ]
    together = computed("S", "A", f"currents of all wires here together, {when}", total(currents),
                        currents)  # fmt: skip
    return Working(
        title=f"Bundle {bundle.where}",
        steps=leading_to(bundle_step(bundle, together, _capacity(study, bundle, use))),
        binds=when,
    )


def _capacity(study: Study, bundle: Bundle, use: BundleUse) -> Step:
    """What the wires could carry without neighbours: per kind, then together."""
    around = surroundings(study)
    thin = height_step(around.altitude, around.altitude_factor)
    kinds: dict[tuple[str, str], list[Conductor]] = {}
    every = {conductor.id: conductor for conductor in chains(study).conductors()}
    for name, _ in use.alone_a:
        conductor = every[name]
        kind = (sizing(study).gauges[conductor.id].awg, kind_of(study, conductor).name)
        kinds.setdefault(kind, []).append(conductor)
    terms: list[Term | Step] = []
    pieces: list[str] = []
    for n, ((awg, kind_name), members) in enumerate(sorted(kinds.items()), 1):
        rated = rated_degc(members[0], study)
        alone = ampacity_a.step(
            **fit(size_of(study, members[0], awg)),
            rated_degc=given(rated, f"{kind_name}: {kind_of(study, members[0]).origin}"),
            ambient_degc=bundle.ambient,
            bundle_factor=given(1.0, "a wire alone", "no neighbours"),
            altitude_factor=thin,
            symbol=f"c{n}",
            meaning=f"AWG {awg} rated {rated:g} °C without neighbours",
        )
        terms += [Term(f"n{n}", float(len(members)), "", f"wires of AWG {awg}", "counted"), alone]
        pieces.append(f"n{n} * c{n}")
    meaning = "what each could carry here without neighbours, together"
    return computed("C", "A", meaning, " + ".join(pieces), terms)


def ground_path_working(study: Study, point: GroundPoint) -> Working | None:
    """The resistance between a ground point and the battery's negative; None where there is none.

    Cold wires, against what is held satisfactory.
    """
    if point.route is None or not point.route.pieces:
        return None
    terms = list(route_terms("r", study, point.route, hot=False))
    step = computed("R", "ohm", "from here to the main ground, cold", total(terms), terms)
    most = limit(study, "ground-path")
    return Working(
        title=f"Resistance from {study.system.title('grounds', point.name)} to the main ground",
        steps=(step,),
        limit=Term("", most.value, "ohm", "held satisfactory", most.origin),
    )


def returning_working(study: Study, name: str) -> Working | None:
    """What comes back through a ground point in the worst case; None where nothing does."""
    found = worst_balance(study, ground_node(name))
    if found is None or not found.incoming:
        return None
    made = balance_working(found, study.system.title("grounds", name))
    return Working(title=made.title, steps=made.steps[:1], binds=found.title)
