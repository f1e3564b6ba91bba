"""Which pole of a switch carries which circuit, on which terminals, closed in which positions."""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.pages.columns import text
from elec.pages.table import Table
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import SWITCHED, end_text


def switch_terminals(study: Study, name: str = "") -> tuple[Table, ...]:
    """What ends on each terminal of a switch or relay; of all whose terminals have numbers."""
    ends: dict[str, list[tuple[str, ...]]] = {}
    for switch, row in _ends(study):
        if name in ("", switch):
            ends.setdefault(switch, []).append(row)
    return tuple(
        _terminals(study, switch, rows)
        for switch, rows in ends.items()
        if name or all(row[0] not in ("line", "load") for row in rows)
    )


def _ends(study: Study) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each end of a wire on a switch: which switch, terminal, mark, gauge, other end, circuit."""
    for chain in chains(study).by_name.values():
        for wire in chain.conductors():
            for part, other, side in ((wire.a, wire.b, "load"), (wire.b, wire.a, "line")):
                if part.kind not in (*SWITCHED, "post"):
                    continue
                gauge = sizing(study).gauges.get(wire.id)
                terminal = part.contact or ("line" if part.kind == "post" else side)
                yield (
                    part.name,
                    (
                        terminal, marks(study)[wire.id], gauge.awg if gauge else "?",
                        end_text(study, other), chain.title,
                        _closed(study, part.name, chain.name, terminal),
                    ),
                )  # fmt: skip


def _closed(study: Study, switch: str, chain: str, terminal: str) -> str:
    """The positions in which a pole is closed; of one with a terminal for each load, its own."""
    entry = study.document.switches.get(switch)
    pole = entry.poles.get(chain) if entry else None
    if entry is None or pole is None:
        return ""
    closed = pole.closed or entry.positions[1:]
    if terminal in pole.load and len(closed) == len(pole.load) > 1:
        return closed[pole.load.index(terminal)]
    return ", ".join(closed)


def _terminals(study: Study, name: str, rows: list[tuple[str, ...]]) -> Table:
    title = study.system.title("switches", name)
    return Table(
        id=f"terminals-{name}",
        title=f"{title}, terminals",
        columns=(
            text("terminal", "Terminal"),
            text("mark", "Mark"),
            text("gauge", "AWG"),
            text("to", "Goes to"),
            text("circuit", "Circuit"),
            text("closed", "Pole closed in"),
        ),
        rows=tuple(row for _, row in sorted((len(row[0]), row) for row in rows)),
        note="By the numbers on the part where they are given (poles:, reverse:); else line is the "
        "side that is fed, load the other one.",
    )


def poles(study: Study) -> Table:
    """The poles of all switches whose terminals are given."""
    rows = []
    for name, entry in study.document.switches.items():
        for chain, pole in entry.poles.items():
            found = chains(study).by_name.get(chain)
            closed = pole.closed or entry.positions[1:]
            rows.append(
                (
                    study.system.title("switches", name),
                    pole.line,
                    ", ".join(pole.load),
                    found.title if found is not None else chain,
                    ", ".join(closed),
                    ", ".join(entry.positions),
                )
            )
    return Table(
        id="switch-poles",
        title="Poles of switches",
        columns=(
            text("switch", "Switch"),
            text("line", "Line"),
            text("load", "Load"),
            text("circuit", "Carries"),
            text("closed", "Closed in"),
            text("positions", "Positions", 2),
        ),
        rows=tuple(rows),
        note="Line and load are the terminals by their numbers on the part; ring each pole out in "
        "every position before it is wired.",
    )
