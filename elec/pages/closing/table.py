"""Tables about building: what is in a zone, how far everything is, what was measured."""

from elec import units
from elec.answers.base.ticked import state_of
from elec.answers.build.closing import Closing, Holding, Inside
from elec.answers.connect.spares import Spare, spares, zones_of
from elec.answers.doubt.measured import Comparison, comparisons, spoken
from elec.pages.columns import count, text
from elec.pages.table import Cell, Column, Table, Value
from elec.study import Study
from elec.wiring.built import STATES
from elec.wiring.chains import chains


def held_open(found: Closing) -> Table:
    """What holds a zone open."""
    return Table(
        id=f"holding-{found.zone}",
        title="What holds it open",
        columns=(text("what", "What"), text("why", "Why"), text("where", "Where", 2)),
        rows=tuple(_holding(one) for one in found.holding),
    )


def _holding(one: Holding) -> tuple[Value, ...]:
    return (one.about, one.text, str(one.place))


def in_zone(found: Closing) -> Table:
    """Every wire and cable in a zone, with the state it is in and the one it has to have."""
    return Table(
        id=f"zone-{found.zone}",
        title=f"Wires and cables: {found.title}",
        columns=(
            text("what", "Wire or cable"),
            text("how", "Passes or ends"),
            text("state", "State"),
            text("wanted", "Has to be", 2),
            text("ok", "Done"),
            text("noted", "Noted", 2),
        ),
        rows=tuple(_inside(one) for one in found.inside),
    )


def _inside(one: Inside) -> tuple[Value, ...]:
    tick = "☑" if one.done else "☐"
    return (one.title, one.what, one.state, one.wanted, Cell(value=tick), one.noted)


def spare_list(study: Study) -> Table:
    """Every spare core and contact with what it could still carry, zone by zone."""
    rows: list[tuple[Value, ...]] = []
    for name in (*study.document.zones, None):
        for one in spares(study):
            zones = zones_of(study, one)
            if name in zones or (name is None and not zones):
                rows.append(_spare(study, one, name))
    return Table(
        id="spares",
        title="Spare cores and contacts",
        columns=(
            text("zone", "Zone"),
            text("place", "Place"),
            text("spare", "Spare"),
            count("spare_count", "How many"),
            text("type", "Type"),
            text("gauge", "Gauge"),
            text("state", "State"),
            Column(key="lasting_a", head="Lasting", unit="A", digits=1),
            Column(key="short_a", head="Short time", unit="A", digits=1),
            text("binds", "What sets it", 2),
        ),
        rows=tuple(rows),
        note="The largest current of one more load over it, its bundle loaded as it is now; what "
        "lies before and behind it takes its own part of the drop. Of contacts, each by itself; a "
        "free contact of a box may be joined inside, so its manual comes first.",
    )


def _spare(study: Study, one: Spare, zone: str | None) -> tuple[Value, ...]:
    gauge = units.show_gauge(one.awg) if one.awg else ""
    return (
        study.system.title("zones", zone) if zone else "in no zone",
        " to ".join(dict.fromkeys(study.system.title("places", p) for p in one.places)),
        one.title,
        one.count,
        one.type,
        f"up to {gauge}" if gauge and one.what == "contact" else gauge,
        one.state,
        one.lasting_a,
        one.short_a,
        _bound(one.binds) if one.lasting_a is not None else f"cannot tell: {one.binds}",
    )


BINDS = {"wire-drop": "the drop", "wire-heat": "its warmth", "connector-current": "its connector"}
"""Check → what a reader at the bench calls it."""


def _bound(binds: str) -> str:
    """What sets a current, without the name of a check.

    >>> _bound("wire-drop: 0.50 V over it, out and back")
    'the drop: 0.50 V over it, out and back'
    """
    check, _, more = binds.partition(": ")
    return f"{BINDS[check]}: {more}" if check in BINDS else binds


def progress(study: Study) -> Table:
    """How many wires of each kind are how far."""
    kinds = {"circuit": "circuits", "feeder": "feeders", "ground": "grounds", "wire": "signals",
             "cable": "cables"}  # fmt: skip
    rows: list[tuple[Value, ...]] = []
    for kind, title in kinds.items():
        states = [
            state_of(study, conductor)
            for chain in chains(study).by_name.values()
            if chain.kind == kind
            for conductor in (chain.conductors()[:1] if kind == "cable" else chain.conductors())
        ]
        if states:
            rows.append((title, len(states), *(states.count(state) or "" for state in STATES)))
    return Table(
        id="progress",
        title="How far the wiring is",
        columns=(
            text("kind", "Wires of"),
            count("all_count", "All"),
            *(count(f"{state.replace(' ', '_')}_count", state.capitalize()) for state in STATES),
        ),
        rows=tuple(rows),
        note="A cable counts as one.",
    )


def notes(study: Study) -> tuple[Table, ...]:
    """Dates and remarks of what was built and measured, and notes of sources; none without any."""
    rows: list[tuple[Value, ...]] = [
        (name, done.state, done.date, done.remark)
        for name, done in study.document.build.items()
        if done.date or done.remark
    ]
    rows += [
        (name, "measured", found.date, found.remark)
        for name, found in study.designed.document.measured.items()
        if found.date or found.remark
    ]
    rows += [
        (study.system.title("sources", name), "source", "", source.note)
        for name, source in study.document.sources.items()
        if source.note
    ]
    if not rows:
        return ()
    return (
        Table(
            id="build-notes",
            title="What was noted",
            columns=(
                text("what", "What"),
                text("state", "State"),
                text("date", "When"),
                text("remark", "Remark"),
            ),
            rows=tuple(rows),
        ),
    )


def measured(study: Study) -> Table:
    """Everything measured beside what was expected, the worst first."""
    order = {False: 0, None: 1, True: 2}
    found = sorted(comparisons(study), key=lambda one: order[one.agrees])
    return Table(
        id="measured",
        title="Measured values",
        columns=(
            text("what", "What"),
            text("quantity", "Quantity", 2),
            text("expected", "Expected"),
            text("band", "Agrees within", 2),
            text("measured", "Measured"),
            text("apart", "Apart", 2),
            text("verdict", "So"),
        ),
        rows=tuple(_measured(one) for one in found),
        note="Expected: by the system as designed. Measured values count in everything else.",
    )


def _measured(one: Comparison) -> tuple[Value, ...]:
    shown = Cell(value=one.measured, text=spoken(one.measured, one.unit))
    if one.expected is None:
        return (one.title, one.quantity, None, "", shown, "", f"cannot tell: {one.unknown}")
    if one.quantity == "insulation":
        band, apart = f"{spoken(one.low, one.unit)} or more", ""
    else:
        most = spoken(one.high, one.unit)
        band = f"{spoken(one.low, one.unit)} to {most}" if one.low > 0 else f"up to {most}"
        apart = f"{(one.measured / one.expected - 1) * 100:+.0f} %" if one.expected else ""
    return (
        one.title,
        one.quantity,
        Cell(value=one.expected, text=spoken(one.expected, one.unit), working=one.working),
        band,
        shown,
        apart,
        "agrees" if one.agrees else f"off. {one.cause}",
    )
