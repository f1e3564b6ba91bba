"""Thin wires that draw a current of their own: of a regulator's sense or lamp, of a light.

In: chains, the document. Out: `ThinDraw` by wire, with the current where the builder gives it. A
wire that goes on in another through a connector is told where it ends.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains


class ThinDraw(Struct, frozen=True, kw_only=True):
    """One thin wire."""

    amps_a: float | None
    """As given with it; None: not given, and not counted."""
    alternator: str = ""
    """Of a warning lamp: the alternator that it tells of."""
    behind: str = ""
    """Of a wire behind a contact, a light: the circuit whose load has to be on."""


@analysis
def taps(study: Study) -> Mapping[str, ThinDraw]:
    """Every thin wire that ends somewhere."""
    thin = [chain for chain in chains(study).of("wire") if chain.hot]
    going_on = {chain.after for chain in thin}
    return {chain.name: _tap(study, chain) for chain in thin if chain.name not in going_on}


def _tap(study: Study, chain: Chain) -> ThinDraw:
    amps, here = None, chain
    while True:  # back over the connectors on its way
        amps = study.document.wires[int(here.path[1])].amps_a if amps is None else amps
        before = chains(study).by_name.get(here.after)
        if before is None or before.kind != "wire":
            break
        here = before
    begins = before.name if before is not None and before.kind == "circuit" else ""
    return ThinDraw(
        amps_a=amps,
        alternator=_alternator(study, here),
        behind="" if chain.output else begins,
    )


def _alternator(study: Study, chain: Chain) -> str:
    """The alternator whose warning lamp a wire is."""
    start = chain.rows[0].parts[0]
    own = {start.name, f"{start.name}.{start.contact}"}
    for name, source in study.document.sources.items():
        lamp = source.warning_lamp if source.kind == "alternator" else None
        if lamp is not None and chain.output and lamp.from_ in own:
            return name
    return ""
