"""Bundles: what lies together on every way, how thick it is, and which wire is the tightest."""

from collections.abc import Mapping

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.connect.holes import passages, thickness_m
from elec.answers.heat.bundles import bundle_heat
from elec.answers.heat.heat import heat
from elec.pages.columns import count, degc, marked, phase_title, share, text
from elec.pages.table import Column, Table, Value
from elec.sizing.sizing import sizing
from elec.standards import default, table
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.surroundings import Bundle, surroundings


def bundles(study: Study) -> Table:
    """Every way and place with wires or coaxial lines in it, ways first."""
    found = surroundings(study).listed()
    return Table(
        id="bundles",
        title="Bundles",
        columns=(
            text("way", "Way"),
            count("wires_count", "Wires"),
            count("bundles_count", "Bundles", 3),
            Column(key="diameter_mm", head="Thick", unit="mm", digits=0),
            Column(key="all_mm", head="All together", unit="mm", digits=0, importance=3),
            degc("ambient_degc", "Air"),
            share("loading_fraction", "Loaded"),
            text("when", "Worst in", 3),
            text("tightest", "Tightest wire"),
            share("used_fraction", "Of its limit"),
            text("holds", "Wires in it", 3),
        ),
        rows=tuple(_row(study, bundle) for bundle in found if bundle.known),
        note=(
            "Wires: all cores and coaxial cables; in heat the coaxial ones do not count. Loaded: "
            "the sum of "
            "the currents over the sum of what the wires may carry. Thick: tight, with "
            f"{default('bundle-looseness').value:g} % for ties; the thickest bundle where "
            "there are several. All together: what a hole has to pass; wire diameters: "
            f"{table('mil_w_22759/wire_copper').cite}."
        ),
    )


def members(study: Study, bundle: Bundle) -> tuple[Conductor, ...]:
    """Everything that lies on a way or within a place, coaxial cables too."""
    every, inside = _in_order(study), {*bundle.members, *bundle.lines}
    return tuple(one for _, one in sorted(every[name] for name in inside if name in every))


@analysis
def _in_order(study: Study) -> Mapping[str, tuple[int, Conductor]]:
    return {c.id: (n, c) for n, c in enumerate(chains(study).conductors())}


def _row(study: Study, bundle: Bundle) -> tuple[Value, ...]:
    inside = members(study, bundle)
    tight = tightest(study, bundle)
    moment = sizing(study).worst_moment.get(bundle.id)
    thick = thickness_m(study)[bundle.id]
    passage = passages(study).get(bundle.leg) if bundle.leg is not None else None
    return (
        bundle.title,
        len(inside),
        bundle.bundles,
        _mm(thick),
        "" if passage is None else _mm(passage.all_m),
        bundle.ambient.value,
        sizing(study).loading.get(bundle.id, 0.0) if bundle.members else "",
        f"{phase_title(study, moment[0])} by {moment[1]}" if moment and moment[0] else "",
        marks(study)[tight.conductor] if tight else "",
        _used(study, bundle, tight),
        ", ".join(marks(study)[c.id] for c in inside),
    )


def _mm(metres: float | None) -> float | None:
    return None if metres is None else metres * 1000


class Tightest(Struct, frozen=True, kw_only=True):
    """The wire of a bundle that uses most of what it may carry there."""

    conductor: str
    share: float
    unknown: bool
    """True where the current of a circuit in the bundle is not known."""


def tightest(study: Study, bundle: Bundle) -> Tightest | None:
    """The tightest power wire of a bundle; None where no wire in it carries a lasting current."""
    if bundle.leg is not None:
        found = bundle_heat(study).get(bundle.leg)
        if found is None or found.tight is None:
            return None
        wire = found.tight.conductor.id
        return Tightest(conductor=wire, share=found.share, unknown=bool(found.unknown))
    here = [h for c in bundle.members if (h := heat(study).get(c)) and h.spot == bundle.id]
    worst = max(here, key=lambda h: h.used, default=None)
    if worst is None or worst.current_a <= 0:
        return None
    return Tightest(
        conductor=worst.conductor, share=worst.used, unknown=any(h.unknown for h in here)
    )


def _used(study: Study, bundle: Bundle, tight: Tightest | None) -> Value:
    if tight is None:
        return ""
    if tight.unknown:
        return None
    hot = heat(study).get(tight.conductor)
    working = hot.working if hot and hot.spot == bundle.id else None
    if bundle.leg is None:
        mark = marks(study)[tight.conductor]
        return marked(study, tight.share, mark, "wire-heat", working=working)
    return marked(study, tight.share, bundle.title, "bundle-heat", working=working)
