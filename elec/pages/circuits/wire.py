"""Circuits with their device and wire, and the schedule of every single conductor."""

from msgspec.structs import replace

from elec.answers.base.marks import gauge_of, marks
from elec.answers.base.ticked import state_of
from elec.answers.connect.pins import colour_of
from elec.answers.drop.drops import LoadDrop, drop_about, load_drops
from elec.answers.heat.heat import WireHeat, heat
from elec.pages.columns import (
    amps,
    cut,
    degc,
    gauge,
    marked,
    metres,
    place_title,
    share,
    text,
    volts,
)
from elec.pages.table import Cell, Table, Value
from elec.physics.heat import careful_temperature_degc
from elec.sizing.devices import rating_working
from elec.sizing.sizing import sizing
from elec.standards import cited
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, Row, chains
from elec.wiring.demand import worst_circuit_amps
from elec.wiring.ends import end_id, wire_ends
from elec.wiring.runs import runs, twisted_pairs
from elec.wiring.wires import kind_name


def circuits(study: Study) -> Table:
    """Every circuit and load: device, wire, run, drop and heat against limits, what decided."""
    rows = [
        _circuit_row(study, chain, load)
        for chain in chains(study).of("circuit")
        for load in chain.loads
    ]
    return Table(
        id="wires",
        title="Circuits and their wires",
        columns=(
            text("circuit", "Circuit"),
            text("load", "Load"),
            text("device", "Device"),
            text("gauge_awg", "AWG"),
            amps("current_a", "Peak"),
            volts("drop_v", "Drop"),
            volts("limit_v", "of"),
            degc("hottest_degc", "Wire at"),
            degc("rated_degc", "of", 2),
            share("used_fraction", "Heat used", 2),
            metres("out_m", "Out", 2),
            metres("back_m", "Back", 3),
            text("run", "Way", 3),
            text("decided", "Gauge decided by", 3),
        ),
        rows=tuple(rows),
        note=(
            "Peak: the greatest at one moment; what a circuit carries lastingly, pulses at their "
            "root mean square, stands on its sheets and is no more. Drop: out and back with "
            "contacts, switch and device, the wire as warm as "
            f"{cited(careful_temperature_degc)} estimates it, which is careful. "
            "Wire at: to expect of its warmest conductor in the tightest spot of its run. Heat "
            "used: "
            "current over what the wire may carry there."
        ),
    )


def _circuit_row(study: Study, chain: Chain, load: str) -> tuple[Value, ...]:
    drop = load_drops(study)[chain.name, load]
    hot = hottest(study, chain, load)
    return (
        Cell(value=chain.title, ref=sheet(chain.name)),
        study.system.title("equipment", load),
        device(study, chain),
        replace(gauge(drop.awg), ref=why_id(chain.name)),
        None if worst_circuit_amps(study)[chain.name] is None else drop.current_a,
        _lost(study, drop),
        drop.limit_v,
        _heat(hot),
        hot.rated_degc if hot else None,
        used(study, hot),
        _known(drop.out_m, drop),
        _known(drop.back_m, drop),
        run_words(study, chain, load),
        Cell(value=_decided(study, chain, load), ref=why_id(chain.name)),
    )


def sheet(name: str) -> str:
    """Id of the sheet of a circuit in the book."""
    return f"sheet-{name}"


def why_id(name: str) -> str:
    """Id of a chain's hand calculations in the book."""
    return f"why-{'-'.join(name.split())}"


def device(study: Study, chain: Chain) -> Cell:
    """The protective device of a chain with the steps to its rating."""
    found = sizing(study).devices.get(chain.name)
    if found is None:
        return Cell(value="none", text="none")
    return Cell(value=found.label, working=rating_working(study, found))


def _lost(study: Study, drop: LoadDrop) -> Cell:
    about = drop_about(study, drop.circuit, drop.load)
    return marked(study, drop.lost_v, about, "wire-drop", working=drop.working)


def _known(length_m: float, drop: LoadDrop) -> float | None:
    return None if drop.unknown and length_m == 0 else length_m


def hottest(study: Study, chain: Chain, load: str = "") -> WireHeat | None:
    """The conductor of a chain (of one load's rows) that uses most of what it may carry."""
    ids = {
        c.id
        for row in chain.rows
        if not load or row.equipment in (load, "")
        for c in row.conductors
        if c is not None
    }
    found = [heat(study)[name] for name in ids if name in heat(study)]
    return max(found, key=lambda h: (h.used, h.conductor), default=None)


def used(study: Study, hot: WireHeat | None) -> Cell:
    """How much of what a conductor may carry it does carry."""
    if hot is None or hot.unknown:
        return Cell(value=None)
    if hot.current_a == 0:
        return Cell(value="", text="start only", working=hot.working)
    mark = marks(study)[hot.conductor]
    return marked(study, hot.used, mark, "wire-heat", working=hot.working)


def _heat(hot: WireHeat | None) -> Cell:
    if hot is None or hot.unknown:
        return Cell(value=None)
    return Cell(value=hot.warmest_degc, working=hot.temperature)


def run_words(study: Study, chain: Chain, load: str) -> str:
    """The places that a circuit passes on the way to a load: `panel, belly, tail`."""
    rows = [row for row in chain.rows if row.equipment in (load, "") and row.role == "feed"]
    return ", ".join(place_title(study, p) for p in _places(study, rows[0])) if rows else ""


def _places(study: Study, row: Row) -> list[str]:
    places: list[str] = []
    for conductor in row.conductors:
        if conductor is None:
            continue
        for place in runs(study)[conductor.id].places:
            if not places or places[-1] != place:
                places.append(place)
    return places


def _decided(study: Study, chain: Chain, load: str) -> str:
    found = [
        sizing(study).gauges[c.id]
        for row in chain.rows
        if row.equipment in (load, "")
        for c in row.conductors
        if c is not None
    ]
    reasons = dict.fromkeys(g.decided for g in found)
    return "; ".join(reasons)


def conductors(study: Study) -> Table:
    """Every wire and core once: mark, ends, gauge, colour, length to cut, run, state of work."""
    types = {kind_name(study, c): None for c in chains(study).conductors() if c.cable is None}
    several = len(types) > 1
    return Table(
        id="conductors",
        title="Wire schedule",
        columns=(
            text("mark", "Mark"),
            text("from", "From"),
            text("to", "To"),
            text("gauge_awg", "AWG"),
            text("colour", "Colour", 2),
            text("length_m", "Run"),
            text("signal", "Carries", 3),
            text("belongs", "Of", 2),
            *((text("type", "Type", 2),) if several else ()),
            text("run", "Way", 3),
            text("state", "State", 2),
        ),
        rows=tuple(
            _conductor_row(study, chain, conductor, several=several)
            for chain in chains(study).by_name.values()
            for conductor in chain.conductors()
        ),
        note=(
            f"Single wire: {', '.join(types)}. Run: with the share for the route and the slack at "
            "both ends, to the next inch or centimetre up; the cut list adds the first strip-back."
            f"{' Twisted: feed with return.' if twisted_pairs(study) else ''}"
        ),
    )


def _conductor_row(
    study: Study, chain: Chain, conductor: Conductor, *, several: bool
) -> tuple[Value, ...]:
    coax = conductor.role == "coax"
    run = runs(study)[conductor.id]
    mark = marks(study)[conductor.id]
    start, end = wire_ends(study, conductor)
    return (
        mark,
        Cell(value=end_id(conductor.a), text=start),
        Cell(value=end_id(conductor.b), text=end),
        "" if coax else gauge(gauge_of(sizing(study).gauges, conductor)),
        colour_of(conductor),
        cut(study, run.length_m),
        _carries(study, conductor),
        _belongs(chain, conductor),
        *((_type(study, conductor),) if several else ()),
        ", ".join(place_title(study, place) for place in run.places),
        state(study, chain, mark),
    )


def _carries(study: Study, conductor: Conductor) -> str:
    """What flows in it; where it is twisted with another wire of its circuit, so it says."""
    what = conductor.signal or conductor.role
    return f"{what}, twisted" if conductor.id in twisted_pairs(study) else what


def _belongs(chain: Chain, conductor: Conductor) -> str:
    """The circuit, feeder or cable that it is part of; nothing for a signal wire of its own."""
    if chain.kind == "wire":
        return ""
    core = f", core {conductor.core}" if conductor.core and conductor.role != "coax" else ""
    return chain.title + core


def _type(study: Study, conductor: Conductor) -> str:
    if conductor.cable:
        return study.document.cables[conductor.cable].type
    return kind_name(study, conductor)


def state(study: Study, chain: Chain, mark: str) -> str:
    """How far a wire is built: by its mark, else by its circuit or cable, else `planned`."""
    wires = [c for c in chain.conductors() if marks(study).get(c.id) == mark] or chain.conductors()
    return state_of(study, wires[0]) if wires else "planned"
