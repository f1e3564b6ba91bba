"""Feeders between sources and buses."""

from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.drop.drops import FeederDrop, feeder_drops
from elec.pages.circuits.wire import device, hottest
from elec.pages.columns import amps, gauge, marked, metres, share, text, volts
from elec.pages.table import Cell, Table, Value
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.runs import runs

IN_IT = ("shunt", "contactor", "switch", "changeover", "diode")


def feeders(study: Study) -> Table:
    """Every feeder: what sits in it, its wire, its current and drop, also while cranking."""
    return Table(
        id="feeders",
        title="Feeders",
        columns=(
            text("feeder", "Feeder"),
            text("from", "From", 2),
            text("to", "To", 2),
            text("device", "Device"),
            text("contains", "In it", 2),
            text("used", "Closed", 3),
            text("gauge_awg", "AWG"),
            metres("length_m", "Length"),
            amps("current_a", "Judged at", digits=1),
            volts("drop_v", "Drop"),
            volts("limit_v", "of"),
            share("used_fraction", "Heat used", 2),
            amps("cranking_a", "Cranking", 2, digits=1),
            volts("cranking_drop_v", "Drop then", 3),
        ),
        rows=tuple(_row(study, chain) for chain in chains(study).of("feeder")),
        note=(
            "Judged at: the greatest lasting current in any case of the solved network; of a "
            "source's own wire its rated current, or the battery's five-minute rate, where that is "
            "more. "
            "Drop: of the wire and its joints."
        ),
    )


def _row(study: Study, chain: Chain) -> tuple[Value, ...]:
    drop = feeder_drops(study)[chain.name]
    feeder = study.document.feeders[int(chain.path[1])]
    hot = hottest(study, chain)
    parts = chain.parts()
    return (
        chain.name.replace("-", " "),
        parts[0].label,
        parts[-1].label,
        _device(study, chain),
        ", ".join(p.label if p.kind != "diode" else p.kind for p in parts if p.kind in IN_IT),
        feeder.used,
        gauge_of_chain(study, chain),
        length_of_chain(study, chain),
        drop.current_a,
        marked(study, drop.lost_v, chain.name, "feeder-drop", working=drop.working),
        drop.limit_v,
        Cell(value=None)
        if hot is None or hot.allowed_a <= 0
        else marked(study, hot.used, marks(study)[hot.conductor], "wire-heat", working=hot.working),
        *cranked(drop),
    )


def _device(study: Study, chain: Chain) -> Cell:
    if chain.device is None:
        why = study.document.feeders[int(chain.path[1])].unprotected
        return Cell(value="none", text=f"none: {why}" if why else "none")
    near = device(study, chain)
    if chain.far is None:
        return near
    far = device(study, chain.far)
    return replace(near, value=f"{near.value}, far end {far.value}", text=None)


NOTHING_A = 0.05
"""Currents below this while cranking are rounding of the solution or not worth a column."""


def cranked(drop: FeederDrop) -> tuple[Value, Value]:
    """Current and drop while the starter turns; nothing where none flows then."""
    if drop.cranking_a < NOTHING_A:
        return "", ""
    return drop.cranking_a, drop.cranking_v


def gauge_of_chain(study: Study, chain: Chain) -> Cell:
    """The gauge of a feeder or ground wire; several are separated by a stroke."""
    found = dict.fromkeys(sizing(study).gauges[c.id].awg for c in chain.conductors())
    cells = [gauge(awg) for awg in found]
    return Cell(value="/".join(found), text=", ".join(str(cell.text) for cell in cells))


def length_of_chain(study: Study, chain: Chain) -> float | None:
    """The length of all wires of a chain in row, in m; None where one is not known."""
    lengths = [runs(study)[c.id].length_m for c in chain.conductors()]
    known = [length for length in lengths if length is not None]
    return sum(known) if len(known) == len(lengths) else None
