"""Signal wires and cables in air that is hotter than their insulation bears.

In: chains, surroundings, the ratings of wire types and coaxial types. Out: `HotAir` by conductor.
What carries power is judged with its current, in `heat`; these carry none that warms them.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.standards import table
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.surroundings import Bundle, surroundings
from elec.wiring.wires import kind_of
from elec.working import within


class HotAir(Struct, frozen=True, kw_only=True):
    """One conductor in the hottest air of its run."""

    conductor: str
    chain: Chain
    made_of: str
    """Its wire type or the type of the coaxial line."""
    rated_degc: float | None
    """None where no document says it of that type."""
    spot: Bundle


@analysis
def hot_air(study: Study) -> Mapping[str, HotAir]:
    """Those that the air is too hot for, or may be.

    A type without a published limit may bear no more than the least of the published ones.
    """
    least = min(row.number("greatest_degc") for row in table("elec/coax").select()
                if row.has("greatest_degc"))  # fmt: skip
    hottest: dict[str, Bundle] = {}
    for bundle in surroundings(study).listed():
        for name in (*bundle.members, *bundle.lines):
            if name not in hottest or bundle.ambient.value > hottest[name].ambient.value:
                hottest[name] = bundle
    found = {}
    for kind in ("wire", "cable"):
        for chain in chains(study).of(kind):
            for one in () if chain.hot else chain.conductors():
                spot, (made_of, rated) = hottest.get(one.id), _rated(study, chain, one)
                bears = least if rated is None else rated
                if spot is None or within(spot.ambient.value, bears):
                    continue
                found[one.id] = HotAir(
                    conductor=one.id, chain=chain, made_of=made_of, rated_degc=rated, spot=spot
                )
    return found


def _rated(study: Study, chain: Chain, conductor: Conductor) -> tuple[str, float | None]:
    if conductor.role != "coax":
        kind = kind_of(study, conductor)
        return kind.name, kind.rated_degc
    name = study.document.cables[chain.name].type
    row = next(iter(table("elec/coax").select(cable=name)), None)
    known = row is not None and row.has("greatest_degc")
    return name, row.number("greatest_degc") if row is not None and known else None


__all__ = ["HotAir", "hot_air"]
