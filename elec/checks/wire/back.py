"""Is the way back as thick as the way out?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import count
from elec.checks.compare import compare
from elec.finding import Finding
from elec.sizing.order import returns_through
from elec.sizing.sizing import sizing, wire_of
from elec.standards import AWGS, Cite, copper
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains


@check(
    "No return or ground wire is thinner than the feed it belongs to",
    sources=(Cite("trade", "ground wire as thick as the feed", "memory"),),
)
def wire_back(study: Study) -> Iterator[Finding]:
    """What flows out flows back, and in a short circuit all of it flows through the return.

    The device is chosen for the feed; a thinner return would burn before it opens. Where several
    contacts feed one thing in parallel, as many have to lead back.
    """
    for chain in chains(study).by_name.values():
        if chain.kind == "circuit":
            for load in chain.loads:
                yield from _load(study, chain, load)
        elif chain.kind == "ground":
            yield from _ground(study, chain)


def _area(study: Study, conductors: list[Conductor]) -> float:
    """Conductance counts: of another metal as much copper as conducts like it."""
    return sum(wire_of(study, c).conducts_like_mm2 for c in conductors)


def _load(study: Study, chain: Chain, load: str) -> Iterator[Finding]:
    ends: dict[str, dict[str, Conductor]] = {"feed": {}, "return": {}}
    for row in chain.rows:
        made = [c for c in row.conductors if c is not None]
        if row.role == "feed" and row.parts[-1].kind == "source":
            continue  # the field of an alternator, whose current comes back through its case
        if row.equipment == load and row.role in ends and made:
            at_load = made[-1] if row.role == "feed" else made[0]
            ends[row.role][at_load.id] = at_load
    out, back = list(ends["feed"].values()), list(ends["return"].values())
    if not out or not back:
        return
    yield compare(
        study,
        load,
        at=chain.path,
        value=_area(study, back),
        limit=_area(study, out),
        rule="at least",
        unit="mm²",
        says=f"{study.system.title('equipment', load)}: {_said(study, out)} out, "
        f"{_said(study, back)} back.",
        remedy="Wire as much copper back: name more contacts under ground, or a thicker gauge.",
    )


def _said(study: Study, conductors: list[Conductor]) -> str:
    gauge = min((sizing(study).gauges[c.id].awg for c in conductors), key=AWGS.index)
    return f"{count(len(conductors), 'wire')} of AWG {gauge}"


def _ground(study: Study, chain: Chain) -> Iterator[Finding]:
    """The wire of a source's negative or of a ground point against the thickest that needs it."""
    own = next(iter(chain.conductors()), None)
    gauges = sizing(study).gauges
    served = [(gauges[name].awg, title) for name, title in returns_through(study, chain)]
    if own is None or not served:
        return
    mine = gauges[own.id].awg
    awg, whose = max(served, key=lambda pair: AWGS.index(pair[0]))
    yield compare(
        study,
        chain.name,
        at=chain.path,
        value=copper(mine).area_mm2,
        limit=copper(awg).area_mm2,
        rule="at least",
        unit="mm²",
        says=f"{chain.title}: AWG {mine}; the thickest wire whose current comes back through it is "
        f"AWG {awg} ({whose}).",
        remedy=f"Take AWG {awg} for it.",
    )
