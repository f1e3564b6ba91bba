"""The run of every conductor: which ways it takes and how long it is.

In: chains, ways. Out: `Run` by conductor id. A length is the builder's own where given, else that
of the shortest way plus a share for the route and slack at both ends.
"""

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.built import built
from elec.wiring.chains import Conductor, chains
from elec.wiring.hand import looked_up, said
from elec.wiring.stops import avoided, stops
from elec.wiring.ways import Leg, Path, beyond_m, closed_by, path_via, way_map
from elec.working import Step, Term, computed, total

WAY = 3
"""Parts of what a tick keeps before its way: ends, wire, length."""


class Run(Struct, frozen=True, kw_only=True):
    """The path of one conductor.

    `length_m` is None where it cannot be known; then `why` says why, and `ask` what to do.
    """

    conductor: str
    places: tuple[str, ...]
    legs: tuple[Leg, ...]
    length_m: float | None
    steps: tuple[Step, ...] = ()
    why: str = ""
    ask: str = ""

    @property
    def unknown(self) -> str:
        """Both; empty where nothing is unknown."""
        return f"{self.why}; {self.ask}" if self.why else ""


@analysis
def runs(study: Study) -> Mapping[str, Run]:
    """The run of every conductor by its id."""
    return {c.id: run_of(study, c) for c in chains(study).conductors()}


def run_of(study: Study, conductor: Conductor) -> Run:
    """The run of one conductor; the length that was cut counts where it is said."""
    run = run_as_planned(study, conductor)
    found = built(study).by_conductor.get(conductor.id)
    if found is None or not found.own or found.done.cut_m is None:
        return run
    if _goes_elsewhere(study, found.done.for_, run):
        return run
    origin = str(study.system.where("build", found.name, "cut"))
    step = looked_up(Term("L", found.done.cut_m, "m", "length that was cut", origin))
    return replace(run, length_m=found.done.cut_m, steps=(step,), why="", ask="")


def is_known(study: Study, conductor: Conductor) -> bool:
    """Whether its length was given, cut or comes from the ways, and is no usual one of a place."""
    run = runs(study)[conductor.id]
    if run.length_m is None or run.legs or conductor.length_m is not None:
        return run.length_m is not None
    return run.length_m != run_as_planned(study, conductor).length_m


def way_text(study: Study, run: Run) -> str:
    """The places on the way of a wire; a way with a name, or one of several, says which it is."""
    said = run.places[0]
    for place, leg in zip(run.places[1:], run.legs, strict=False):
        named = study.document.ways[leg.index].name
        beside = [one for one in way_map(study).legs if set(one.between) == set(leg.between)]
        which = named or (f"way {leg.index + 1}" if len(beside) > 1 else "")
        said += f" ({which})" if which else ""
        said += f" {place}"
    return said


def _goes_elsewhere(study: Study, given_for: str, run: Run) -> bool:
    """Whether what was cut was cut for another way: a tick keeps its way last."""
    *rest, way = given_for.split(";")
    return len(rest) == WAY and way.strip() != way_text(study, run)


def run_as_planned(study: Study, conductor: Conductor) -> Run:
    """The run of one conductor by the ways, whatever was cut."""
    start, stop = conductor.a.place, conductor.b.place
    via = stops(study)[conductor.id]
    if start == stop and not via:
        return _within(study, conductor)
    avoid = avoided(study, conductor.chain)
    path = path_via(study, (start, *via, stop), closed_by(study, avoid))
    if path is None:
        around = f" that keep out of {' and '.join(avoid)}" if avoid else ""
        return Run(
            conductor=conductor.id,
            places=(start, stop),
            legs=(),
            length_m=conductor.length_m,
            steps=_given(study, conductor),
            why=f"no ways join {start} and {stop}{around}",
            ask="add the missing way, or give the length",
        )
    if conductor.length_m is not None:
        return Run(
            conductor=conductor.id,
            places=path.places,
            legs=path.legs,
            length_m=conductor.length_m,
            steps=_given(study, conductor),
        )
    why, ask = _untold(study, conductor, path)
    if why:
        return Run(
            conductor=conductor.id,
            places=path.places,
            legs=path.legs,
            length_m=None,
            why=why,
            ask=ask,
        )
    return _routed(study, conductor, path.places, path.legs)


def _untold(study: Study, conductor: Conductor, path: Path) -> tuple[str, str]:
    """Why the length of a path with its ends is not known, and what to do; empty where it is."""
    if path.length_m is None:
        bare = next(leg for leg in path.legs if leg.length_m is None)
        return f"the way {bare.title} has no length", "measure it, or give both ends a station"
    for part in (conductor.a, conductor.b):
        if part.kind == "equipment" and beyond_m(study, part.name) is None:
            title = study.system.title("equipment", part.name)
            why = f"how far {title} sits from its place is not known"
            return why, "give the place a station, or the length"
    return "", ""


def _given(study: Study, conductor: Conductor) -> tuple[Step, ...]:
    if conductor.length_m is None:
        return ()
    path = conductor.path or chains(study).by_name[conductor.chain].path
    key = "stub" if conductor.stub else "tail" if conductor.tail else "length"
    origin = str(study.system.where(*path, key))
    return (Step(result=Term("L", conductor.length_m, "m", "length of the wire", origin)),)


def _within(study: Study, conductor: Conductor) -> Run:
    place = conductor.a.place
    spot = study.document.places.get(place)
    usual = default("within-place-length")
    if conductor.length_m is not None:
        steps, length = _given(study, conductor), conductor.length_m
    else:
        given = spot.within_m if spot else None
        length = usual.si if given is None else given
        origin = (
            usual.origin if given is None else str(study.system.where("places", place, "within"))
        )
        steps = (
            Step(result=Term("L", length, "m", f"usual length of a wire within {place}", origin)),
        )
    return Run(conductor=conductor.id, places=(place,), legs=(), length_m=length, steps=steps)


def _known_m(leg: Leg) -> float:
    assert leg.length_m is not None  # noqa: S101 - one without a length ends the search before
    return leg.length_m


def _routed(
    study: Study, conductor: Conductor, places: tuple[str, ...], legs: tuple[Leg, ...]
) -> Run:
    factor, slack = default("wire-route-factor"), default("wire-slack-per-end")
    terms = [
        Term(f"w{i}", _known_m(leg), "m", f"way {leg.title}",
             str(study.system.where("ways", leg.index))
             + (" (from the coordinates of its places)" if leg.computed else ""))
        for i, leg in enumerate(legs, 1)
    ]  # fmt: skip
    terms += [
        Term(f"b{i}", more, "m",
             f"from its place to {study.system.title('equipment', part.name)}, straight",
             str(study.system.where("sensors", part.name)))
        for i, part in enumerate((conductor.a, conductor.b), 1)
        if part.kind == "equipment" and (more := beyond_m(study, part.name))
    ]  # fmt: skip
    ways = f"({total(terms)})" if len(terms) > 1 else total(terms)
    terms += [said(factor, factor.si, "f"), said(slack, slack.si, "s", "m")]
    step = computed("L", "m", "length of the wire", f"{ways} * (1 + f) + 2 * s", terms,
                    source=slack.source)  # fmt: skip
    length = step.result.value
    return Run(conductor=conductor.id, places=places, legs=legs, length_m=length, steps=(step,))


@analysis
def twisted_pairs(study: Study) -> Mapping[str, str]:
    """Wire of a circuit whose feed and return are twisted → which of the two its partner is.

    Only wires that lie on a way together: a jumper from breaker to switch has no partner.
    """
    found: dict[str, str] = {}
    for name, circuit in study.document.circuits.items():
        chain = chains(study).by_name.get(name)
        if chain is None or not circuit.twisted:
            continue
        wires = [c for c in chain.conductors() if c.cable is None]
        for role, partner in (("feed", "return"), ("return", "feed")):
            beside = {
                leg.index for c in wires if c.role == partner for leg in runs(study)[c.id].legs
            }
            for c in wires:
                if c.role == role and beside & {leg.index for leg in runs(study)[c.id].legs}:
                    found[c.id] = partner
    return found
