"""Circuits, grounds and the wires between boxes as rows."""

from collections.abc import Iterator, Mapping

from elec import units
from elec.analyses.chains import Chain, Conductor, Part, chains
from elec.analyses.demand import worst_circuit_amps
from elec.analyses.drops import load_drops
from elec.analyses.sizing import sizing
from elec.drawings.inputs import CircuitSheet, Node, Row
from elec.drawings.records import nodes, words
from elec.record import dataclass
from elec.study import Study


def circuit_record(study: Study, name: str, sheet: int) -> CircuitSheet:
    """One circuit with what was computed about it."""
    chain = chains(study).by_name[name]
    return CircuitSheet(
        title=words.title_block(study, chain.title, sheet),
        id=name,
        rows=nodes.drawn_rows(study, chain, chain.rows),
        facts=tuple(_facts(study, chain)),
        cautions=words.CAUTIONS,
        size=words.paper(study, large=False),
    )


def _facts(study: Study, chain: Chain) -> Iterator[tuple[str, str]]:
    device = sizing(study).devices.get(chain.name)
    if device is not None:
        needs = (
            f"; the load needs {units.show(device.needed_a, 'a')} or more"
            if device.needed_a
            else ""
        )
        yield (
            "protection",
            device.label + needs + (f" ({device.unknown})" if device.unknown else ""),
        )
    circuit = study.document.circuits[chain.name]
    if circuit.unprotected:
        yield "no protection", circuit.unprotected
    current = worst_circuit_amps(study)[chain.name]
    most = "not known" if current is None else f"{units.show(current, 'a')} at most in any phase"
    yield "current", most
    for load in chain.loads:
        drop = load_drops(study).get((chain.name, load))
        if drop is not None and drop.lost_v is not None:
            lost = units.show(drop.lost_v, "v", digits=2)
            allowed = units.show(drop.limit_v, "v", digits=2)
            title = study.system.title("equipment", load)
            yield "voltage drop", f"{title}: {lost} out and back; {allowed} allowed"
        elif drop is not None:
            yield "voltage drop", f"cannot tell: {drop.unknown}"


def ground_record(study: Study, sheet: int) -> CircuitSheet | None:
    """The ground points, the wires between them, and the negative side of every source."""
    rows = [_ground_row(study, chain) for chain in chains(study).of("ground")]
    if not rows:
        return None
    return CircuitSheet(
        title=words.title_block(study, "Grounds and negative cables", sheet),
        id="grounds",
        rows=tuple(rows),
        cautions=words.CAUTIONS,
        size=words.paper(study, large=False),
    )


def _ground_row(study: Study, chain: Chain) -> Row:
    row = chain.rows[0]
    return Row(
        nodes=tuple(_ground_end(study, part) for part in row.parts),
        conductors=tuple(words.drawn_conductor(study, c) for c in row.conductors),
    )


def _ground_end(study: Study, part: Part) -> Node:
    """A ground point as a box, so that its wires meet on it."""
    return Node(
        kind="equipment",
        ref=part.id,
        label=part.label,
        sublabel=words.place(study, part.place),
        pin="−" if part.kind == "source" else "",
    )


# --- wires between boxes ----------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _Run:
    """A signal from end to end, through the connectors between harnesses."""

    chain: Chain
    parts: tuple[Part, ...]
    conductors: tuple[Conductor, ...]

    def boxes(self) -> tuple[str, ...]:
        """The equipment at its ends."""
        ends = (self.parts[0], self.parts[-1])
        return tuple(p.name for p in ends if p.kind == "equipment")


def box_records(study: Study) -> Mapping[str, tuple[str, tuple[Row, ...]]]:
    """Title and rows of signal wires and cables by box; each wire stands with one box only.

    The box with the most wires comes first and takes all of its own; wires between places (spare
    cables) stand under the empty name.
    """
    left = list(_runs(study))
    found: dict[str, tuple[str, tuple[Row, ...]]] = {}
    while left:
        count: dict[str, int] = {}
        for run in left:
            for box in dict.fromkeys(run.boxes()):
                count[box] = count.get(box, 0) + 1
        home = max(count, key=lambda box: count[box]) if count else ""
        mine = [run for run in left if not home or home in run.boxes()]
        left = [run for run in left if run not in mine]
        title = study.system.title("equipment", home) if home else "spare cables and other wires"
        rows = sorted((_turned(run, home) for run in mine), key=_far_end)
        found[home] = (title, tuple(_box_row(study, run) for run in rows))
    return found


def _far_end(run: _Run) -> tuple[str, str]:
    return run.parts[-1].kind, run.parts[-1].name


def _turned(run: _Run, home: str) -> _Run:
    if run.parts[0].name == home or not home:
        return run
    return _Run(
        chain=run.chain,
        parts=tuple(reversed(run.parts)),
        conductors=tuple(reversed(run.conductors)),
    )


def _box_row(study: Study, run: _Run) -> Row:
    return Row(
        nodes=tuple(nodes.node(study, run.chain, part) for part in run.parts),
        conductors=tuple(words.drawn_conductor(study, c) for c in run.conductors),
    )


def _runs(study: Study) -> Iterator[_Run]:
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
        yield _Run(
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


def box_record(
    study: Study, name: str, title: str, rows: tuple[Row, ...], sheet: int
) -> CircuitSheet:
    """The signal wires of one box."""
    words_ = f"{title}, signal wires" if name else title
    return CircuitSheet(
        title=words.title_block(study, words_, sheet),
        id=f"signals {name}".strip(),
        rows=rows,
        focus=name,
        cautions=words.CAUTIONS,
        size=words.paper(study, large=False),
    )
