"""Signal wires and cores from end to end, through the connectors between harnesses."""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains


class SignalRun(Struct, frozen=True, kw_only=True):
    """A signal from end to end, through the connectors between harnesses."""

    chain: Chain
    parts: tuple[Part, ...]
    conductors: tuple[Conductor, ...]
    forward: bool = True
    """Whether it stands as it was found; False: turned round."""

    def turned(self) -> "SignalRun":
        """The run from its other end."""
        return replace(
            self,
            parts=tuple(reversed(self.parts)),
            conductors=tuple(reversed(self.conductors)),
            forward=not self.forward,
        )


@analysis
def signal_runs(study: Study) -> tuple[SignalRun, ...]:
    """Signal wires and cores, joined where they meet in a connector between harnesses."""
    return tuple(_runs(study))


def _runs(study: Study) -> Iterator[SignalRun]:
    """Signal wires and cores, joined where they meet in a connector between harnesses."""
    single = [
        (chain, row.parts, row.conductors)
        for kind in ("wire", "cable")
        for chain in chains(study).of(kind)
        for row in chain.rows
    ]
    at: dict[str, list[int]] = {}
    for i, (_, parts, _) in enumerate(single):
        for part in (parts[0], parts[-1]):
            if part.kind == "connector":
                at.setdefault(part.id, []).append(i)
    used: set[int] = set()
    for start in sorted(range(len(single)), key=lambda i: single[i][1][0].kind == "connector"):
        if start in used:
            continue
        chain, parts, conductors = single[start]
        used.add(start)
        parts, conductors = _follow(single, at, used, (parts, conductors))
        yield SignalRun(
            chain=chain, parts=parts, conductors=tuple(c for c in conductors if c is not None)
        )


_Single = tuple[Chain, tuple[Part, ...], tuple[Conductor | None, ...]]
_Line = tuple[tuple[Part, ...], tuple[Conductor | None, ...]]


def _follow(single: list[_Single], at: dict[str, list[int]], used: set[int], line: _Line) -> _Line:
    """Go on at both ends while they are connectors that another wire leaves."""
    parts, conductors = line
    for _ in range(2):
        while parts[-1].kind == "connector":
            following = [i for i in at[parts[-1].id] if i not in used]
            if len(following) != 1:
                break
            used.add(following[0])
            _, more, wires = single[following[0]]
            if more[0].id != parts[-1].id:
                more, wires = tuple(reversed(more)), tuple(reversed(wires))
            parts, conductors = (*parts, *more[1:]), (*conductors, *wires)
        parts, conductors = tuple(reversed(parts)), tuple(reversed(conductors))
    return parts, conductors
