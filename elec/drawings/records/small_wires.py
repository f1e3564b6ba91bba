"""Small wires from a bus or a contact as rows of the one-line diagram: sense, light.

They belong to no circuit, but have the full voltage of a source: each has its fuse drawn, or that
it has none said.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.drawings.inputs import CircuitRow, DrawnDevice
from elec.drawings.records import nodes, words
from elec.drawings.records.panel import off_name
from elec.drawings.records.thin import carried, load_name, thin_homes
from elec.study import Study
from elec.wiring.chains import Chain, Part, chains, is_live
from elec.wiring.runs import runs

NO_DEVICE = "no protection"
"""Said where nothing protects a wire, as on the sheets of circuits."""


class WithoutRow(Struct, frozen=True, kw_only=True):
    """A wire that leaves within the way to a load, where a row has no room for it."""

    device: str
    marks: str
    sheet: str = ""

    def __str__(self) -> str:
        return " ".join(filter(None, (self.device, self.marks, self.sheet and f"({self.sheet})")))


class SmallWires(Struct, frozen=True, kw_only=True):
    """Rows on a bus or source, those behind the last switch of a circuit, and all others."""

    rows: tuple[CircuitRow, ...]
    taps: Mapping[str, tuple[CircuitRow, ...]]
    others: tuple[WithoutRow, ...]


def small_rows(
    study: Study, sheets: Mapping[str, tuple[str, str]], drawn: Sequence[str]
) -> SmallWires:
    """All of them; `drawn` names the circuits that have a row."""
    bars = {*study.document.buses, *study.document.sources}
    rows: list[CircuitRow] = []
    taps: dict[str, list[CircuitRow]] = {}
    others: list[WithoutRow] = []
    for chain in chains(study).of("wire"):
        node = _node(chain)
        if node is None:
            continue
        row = _row(study, chain, sheets)
        if node in bars:
            rows.append(row)
        elif chain.after in drawn and node == _behind_last(chains(study).by_name[chain.after]):
            taps.setdefault(chain.after, []).append(row)
        else:
            name = row.device.label if row.device else NO_DEVICE
            others.append(WithoutRow(device=name, marks=row.mark, sheet=row.sheet))
    found = {name: tuple(one) for name, one in taps.items()}
    return SmallWires(rows=tuple(rows), taps=found, others=tuple(others))


def _node(chain: Chain) -> str | None:
    """Where a wire is fed; None where that is no bus, post or contact."""
    first = chain.rows[0].parts[0]
    if first is chain.device:
        return first.inlet
    live = next((part for part in chain.parts() if is_live(part)), None)
    return None if live is None else live.outlet


def _behind_last(circuit: Chain) -> str:
    """Behind the last contact on the way to the first load; empty where a wire branches there."""
    way = [part for part in circuit.rows[0].parts if part.kind in nodes.SWITCHING]
    return way[-1].outlet if way else ""


def _row(study: Study, chain: Chain, sheets: Mapping[str, tuple[str, str]]) -> CircuitRow:
    wires = [w for w in chain.rows[0].conductors if w is not None]
    home = sheets.get(thin_homes(study).get(chain.name, ""), ("", ""))
    return CircuitRow(
        bar=chain.source_end,
        id=chain.name,
        device=None if chain.device is None else _device(study, chain, chain.device),
        bare=NO_DEVICE if chain.device is None else "",
        stub=stub_text(study, chain),
        mark=" to ".join(dict.fromkeys((marks(study)[wires[0].id], marks(study)[wires[-1].id]))),
        gauge=words.gauge(study, wires[0]),
        length=words.total_length(study, wires),
        load=load_name(chain),
        amps=words.amps(carried(study, chain)),
        sheet=home[0],
        link=home[1],
        wire=True,
    )


def _device(study: Study, chain: Chain, device: Part) -> DrawnDevice:
    return DrawnDevice(
        kind=device.kind,  # type: ignore[arg-type]
        label=nodes.panel_position(study, chain, device) or off_name(study, device) or device.kind,
        rating=nodes.rating(study, chain, device),
    )


def stub_text(study: Study, chain: Chain) -> str:
    """The wire from a bus or post to the device of a row; empty where they touch."""
    wire = chain.rows[0].conductors[0]
    if wire is None or not wire.stub:
        return ""
    long = words.length(study, runs(study)[wire.id].length_m)
    return f"before it {marks(study)[wire.id]}, {long}"


__all__ = ["NO_DEVICE", "SmallWires", "WithoutRow", "small_rows", "stub_text"]
