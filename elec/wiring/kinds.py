"""Wires of a bundle that had better lie apart: no device, ignition, audio, transmitters.

In: chains, runs, bundles. Out: `KindsTogether`, one for each pair of kinds that share a bundle.
Common practice, with the handbook's rule on unprotected power wires.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.laid import laid
from elec.wiring.runs import runs
from elec.wiring.ways import way_map

Kind = Literal["unprotected", "ignition", "audio", "antenna", "power", "signal"]

_AUDIO = re.compile(r"phone|audio|mic|speaker|headset|intercom", re.IGNORECASE)
SENDS = frozenset({"com", "transponder", "dme", "elt", "uat"})
"""Services that transmit."""


class KindsTogether(Struct, frozen=True, kw_only=True):
    """Two kinds in one bundle of a way; `bundle` is empty where the way has one."""

    way: int
    title: str
    bundle: str
    first: str
    """`the unprotected battery cable`, `ignition wires`."""
    second: str
    names: tuple[str, ...]
    why: str
    length_m: float | None
    unsaid: bool
    """True where the way has several bundles and nobody said which wire lies in which."""


def kind_of(study: Study, chain: Chain, conductor: Conductor) -> Kind:
    """What a wire is to its neighbours."""
    if conductor.role == "coax":
        service = study.document.cables[chain.name].service or ""
        return "antenna" if service in SENDS else "signal"
    if chain.kind in ("feeder", "circuit"):
        if not any(part.protection is not None for part in chain.parts()):
            jumper = conductor.role == "return" and chain.rows[0].parts[0].kind == "post"
            return "power" if jumper else "unprotected"  # behind its coil no more flows
        return "ignition" if chain.function == "J" else "power"
    if chain.kind == "ground":
        return "power"
    if chain.function == "J":
        return "ignition"
    shielded = conductor.cable is not None and (
        "shielded" in study.document.cables[conductor.cable].type
    )
    named = f"{conductor.signal} {chain.title}"
    if _AUDIO.search(named):
        return "signal" if shielded else "audio"
    return "signal"


_PAIRS: tuple[tuple[Kind, tuple[Kind, ...], str], ...] = (
    (
        "unprotected",
        ("power", "ignition", "audio", "antenna", "signal"),
        "a short in it burns what lies beside it, for no device of its own opens",
    ),
    ("ignition", ("audio", "antenna"), "its sparks are heard in every headset and receiver"),
    ("antenna", ("audio",), "a transmitter is heard in the headsets"),
)


@analysis
def together(study: Study) -> tuple[KindsTogether, ...]:
    """Every pair of kinds that had better lie apart and share a bundle."""
    found: list[KindsTogether] = []
    for way, lying in _lying(study).items():
        named = laid(study).get(way)
        several = study.document.ways[way].bundles > 1
        groups: dict[str, list[tuple[str, Kind]]] = {}
        for name, kind in lying:
            bundle = named.of.get(name, "") if named else ""
            groups.setdefault(bundle, []).append((name, kind))
        for bundle, members in groups.items():
            found += _pairs(study, way, bundle, members, unsaid=several and named is None)
    return tuple(found)


def _lying(study: Study) -> Mapping[int, list[tuple[str, Kind]]]:
    found: dict[int, dict[tuple[str, Kind], None]] = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            kind = kind_of(study, chain, conductor)
            for leg in runs(study)[conductor.id].legs:
                found.setdefault(leg.index, {})[chain.name, kind] = None
    return {way: list(members) for way, members in sorted(found.items())}


def _pairs(
    study: Study, way: int, bundle: str, members: list[tuple[str, Kind]], *, unsaid: bool
) -> Iterator[KindsTogether]:
    leg = way_map(study).legs[way]
    title = study.document.ways[way].name or leg.title
    for first, others, why in _PAIRS:
        mine = [name for name, kind in members if kind == first]
        theirs = [name for name, kind in members if kind in others]
        if mine and theirs:
            yield KindsTogether(
                way=way,
                title=title,
                bundle=bundle,
                first=_spoken(first),
                second=f"{len(theirs)} {'other' if len(theirs) == 1 else 'others'}"
                if first == "unprotected"
                else _spoken(next(k for _, k in members if k in others)),
                names=tuple(mine),
                why=why,
                length_m=leg.length_m,
                unsaid=unsaid,
            )


def _spoken(kind: Kind) -> str:
    return {
        "unprotected": "a power wire without a device",
        "ignition": "ignition wires",
        "audio": "audio wires without a shield",
        "antenna": "the cable of a transmitter",
        "power": "power wires",
        "signal": "signal wires",
    }[kind]
