"""A change before it is made: device, wire, run, marks, what is left; margins before and after."""

from elec import units
from elec.answers.base.marks import marks
from elec.answers.build.difference import MarginPair
from elec.answers.connect.free import Free, FreeTerminals, SpareCore, Spots, free_along
from elec.answers.connect.switching import switching
from elec.answers.drop.drops import LoadDrop, load_drops
from elec.answers.heat.heat import heat
from elec.answers.loads.margins import SHORT_A, keeps_rule, names_of, rule_of
from elec.pages.bench.table import to_cut_m
from elec.pages.circuits.wire import device, hottest, run_words, state
from elec.pages.columns import amps, listed, phase_title, place_title, text
from elec.pages.table import Cell, Table, Value
from elec.sizing.devices import Device, share
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.runs import runs

Row = tuple[Value, ...]


def circuit_answer(study: Study, before: Study, circuit: str, loads: tuple[str, ...]) -> Table:
    """What a circuit becomes: each choice with what decided it."""
    chain = chains(study).by_name[circuit]
    load = next((name for name in chain.loads if name in loads), None) or _worst(study, chain)
    was = before if circuit in before.document.circuits else None
    free = free_along(study, circuit, before)
    rows = [
        _device_row(study, was, chain),
        *_switch_rows(study, chain),
        _wire_row(study, was, chain, load),
        _run_row(study, chain, load),
        _marks_row(study, chain),
        *_free_rows(study, free),
        *(_core_row(study, core) for core in free.cores),
    ]
    return Table(
        id=f"circuit-{circuit}",
        title=f"{study.system.title('equipment', load)}, circuit {circuit}",
        columns=(text("what", ""), text("chosen", "It gets"), text("because", "Because")),
        rows=tuple(rows),
    )


def _worst(study: Study, chain: Chain) -> str:
    def part(load: str) -> float:
        drop = load_drops(study)[chain.name, load]
        return float("inf") if drop.lost_v is None else drop.lost_v / drop.limit_v

    return max(chain.loads, key=part)


def _was(now: str, before: str | None) -> str:
    return now if before is None or before == now else f"{now} (was {before})"


def _device_row(study: Study, was: Study | None, chain: Chain) -> Row:
    found = sizing(study).devices.get(chain.name)
    if found is None:
        return "Device", "none", study.document.circuits[chain.name].unprotected or ""
    old = sizing(was).devices.get(chain.name) if was else None
    shown = _was(found.label, old.label if old else None)
    cell = Cell(value=shown, working=getattr(device(study, chain), "working", None))
    return "Device", cell, "; ".join(filter(None, [_needs(study, found), _allows(study, chain)]))


def _needs(study: Study, found: Device) -> str:
    if found.needed_a is None or found.load_a is None:
        return found.unknown
    why = f"{found.load_a:.1f} A"
    terms = {term.symbol: term.value for term in found.steps[-1].terms}
    if terms.get("s", 1.0) < 1:
        why += f", held to {share(study, found.kind).value * 100:.0f} %"
    if terms.get("f", 1.0) != 1:
        why += f", {terms['f']:.2f} for the warmth there"
    if found.peak_a is not None:
        why += f", {found.peak_a:.1f} A at its peak"
    text_ = f"the load needs {found.needed_a:.1f} A or more ({why})"
    if found.decided:
        text_ = f"{found.decided}; {text_}"
    if found.inrush_a is not None and found.inrush_s is not None:
        text_ += f", at switch-on {found.inrush_a:.1f} A for {found.inrush_s * 1000:.0f} ms"
    return text_


def _allows(study: Study, chain: Chain) -> str:
    found = [heat(study)[c.id].allowed_a for c in chain.conductors() if c.id in heat(study)]
    return f"the wire allows {min(found):.1f} A or less" if found else ""


def _switch_rows(study: Study, chain: Chain) -> list[Row]:
    rows: list[Row] = []
    for part in chain.parts():
        if part.kind != "switch":
            continue
        found = switching(study)[part.name]
        known = study.document.switches.get(part.name)
        needs = "?" if found.needed_a is None else f"{found.needed_a:.1f} A"
        rating = f"rated {found.rating_a:g} A" if found.rating_a else "no rating is given"
        others = [
            c for c in study.document.circuits if c != chain.name and _has(study, c, part.name)
        ]
        shared = f"; it also switches {listed(others)}" if others else ""
        rows.append(
            (
                "Switch",
                found.label,
                f"asks for {needs} at direct current; {rating}{shared}"
                if known or found.needed_a is None
                else f"new: {needs} or more at direct current{shared}",
            )
        )
    return rows


def _has(study: Study, circuit: str, switch: str) -> bool:
    entry = study.document.circuits[circuit]
    return switch in (entry.switch, entry.contactor)


def _wire_row(study: Study, was: Study | None, chain: Chain, load: str) -> Row:
    drop = load_drops(study)[chain.name, load]
    old = None
    if was is not None and (chain.name, load) in load_drops(was):
        old = _gauge(load_drops(was)[chain.name, load])
    return (
        "Wire",
        Cell(value=_was(_gauge(drop), old), working=drop.working),
        _wire_why(study, chain, load),
    )


def _gauge(drop: LoadDrop) -> str:
    return units.show_gauge(drop.awg)


def _wire_why(study: Study, chain: Chain, load: str) -> str:
    drop, hot = load_drops(study)[chain.name, load], hottest(study, chain, load)
    length = study.system.about.units
    back = f", {units.cut_length(drop.back_m, length)} back" if drop.back_m else ""
    words = [f"{units.cut_length(drop.out_m, length)} out{back}"]
    if drop.lost_v is None:
        words.append(f"what is lost cannot be told: {drop.unknown}")
    else:
        words.append(f"loses {drop.lost_v:.2f} V of {drop.limit_v:.2f} V")
    if hot is not None and hot.expected_degc is not None:
        words.append(f"{hot.expected_degc:.0f} °C of {hot.rated_degc:.0f} °C")
        words.append(f"{hot.wires:.0f} wires together {hot.where}")
    reasons = dict.fromkeys(
        sizing(study).gauges[c.id].decided
        for row in chain.rows
        if row.equipment == load
        for c in row.conductors
        if c is not None
    )
    return "; ".join([*words, f"decided by: {', '.join(reasons)}"])


def _run_row(study: Study, chain: Chain, load: str) -> Row:
    returns = [row for row in chain.rows if row.equipment == load and row.role == "return"]
    ends = dict.fromkeys(
        f"back to {row.parts[-1].label or 'the structure'}" for row in returns if row.parts
    )
    passed = [part for part in chain.parts() if part.kind == "connector"]
    plugs = dict.fromkeys(f"through {part.label}" for part in passed)
    words = [*ends, *plugs]
    missed = _missed(study, chain)
    if missed:
        words.append(
            f"past {listed(missed)}, not through: --through {missed[0]} takes free contacts"
        )
    return "Run", run_words(study, chain, load), "; ".join(words)


def _missed(study: Study, chain: Chain) -> list[str]:
    """Connectors between harnesses at places that the run passes and the circuit does not use."""
    used = {part.name for part in chain.parts() if part.kind == "connector"}
    inner = {
        place
        for c in chain.conductors()
        if c.role == "feed"
        for place in runs(study)[c.id].places[1:-1]
    }
    return [
        name
        for name, entry in study.document.plugs.items()
        if entry.place in inner and name not in used
    ]


def _marks_row(study: Study, chain: Chain) -> Row:
    found = [
        (marks(study)[c.id], runs(study)[c.id].length_m)
        for c in chain.conductors()
        if c.length_m is not None or runs(study)[c.id].length_m != 0
    ]
    system = study.system.about.units
    every = (to_cut_m(study, run_m) for _, run_m in found)
    cuts = ["?" if m is None else units.cut_length(m, system) for m in every]
    built = state(study, chain, found[0][0]) if found else "planned"
    already = f"; now {built}" if built != "planned" else ""
    return "Marks", ", ".join(mark for mark, _ in found), f"cut {', '.join(cuts)}{already}"


def _free_rows(study: Study, free: Free) -> list[Row]:
    words = [*(_spot_words(study, spots) for spots in free.spots if spots.laid_out)]
    words += [_terminal_words(study, one) for one in free.grounds if one.most is not None]
    for plug in free.contacts:
        title = study.system.title("plugs", plug.connector)
        words.append(f"{title}: {listed(list(plug.contacts)) or 'no contact'}")
    spots = [f"{s.holds} at {place_title(study, s.place)}" for s in free.spots if not s.laid_out]
    grounds = [
        study.system.title("grounds", one.ground) for one in free.grounds if one.most is None
    ]
    unsaid = [f"positions for {listed(spots)} (panels: lays them out)"] if spots else []
    unsaid += [f"terminals of {listed(grounds)} (terminals: of the ground)"] if grounds else []
    rows: list[Row] = [("Free", "", "; ".join(words))] if words else []
    return [*rows, ("Not counted", "", "; ".join(unsaid))] if unsaid else rows


def _spot_words(study: Study, spots: Spots) -> str:
    noun = {"breakers": "breaker", "fuses": "fuse", "switches": "switch"}[spots.holds]
    if not spots.free:
        return f"no {noun} position at {place_title(study, spots.place)}"
    first = spots.free[0]
    panel = study.system.title("panels", first.panel)
    left = len(spots.free) - 1
    return f"{noun} position {first.name} of {panel} ({left or 'none'} left after it)"


def _terminal_words(study: Study, one: FreeTerminals) -> str:
    title = study.system.title("grounds", one.ground)
    if one.left is not None and one.left < 0:
        return f"{title} has {one.most} terminals, and {one.taken} are needed"
    return f"{title}: {one.left} of {one.most} terminals left after it"


def _core_row(study: Study, core: SpareCore) -> Row:
    ends = " to ".join(place_title(study, place) for place in core.ends)
    lost = "?" if core.drop_v is None else f"{core.drop_v:.2f} V"
    does = "would carry it" if core.carries else "would not carry it"
    heat_ = f"{core.needed_a:g} A of {core.allowed_a:.1f} A"
    drop = f"{lost} of {core.drop_limit_v:.2f} V lost"
    why = f"{len(core.cores)} cores AWG {core.awg}, {ends}: {does} ({heat_}; {drop})"
    return "Spare", core.cable, why


def margin_table(study: Study, pairs: tuple[MarginPair, ...]) -> Table:
    """What the alternators have left in each phase, before and after; the least first."""
    several = len({pair.after.sources for pair in pairs}) > 1
    return Table(
        id="margin-before-after",
        title="Alternator margin",
        columns=(
            *((text("source", "Source"),) if several else ()),
            text("phase", "Phase"),
            text("condition", "By"),
            amps("before_a", "Before", digits=1),
            amps("after_a", "After", digits=1),
            text("remark", "Then"),
        ),
        rows=tuple(
            (
                *((names_of(study, pair.after.sources),) if several else ()),
                phase_title(study, pair.phase),
                pair.condition,
                pair.before.spare_a if pair.before else None,
                Cell(
                    value=pair.after.spare_a,
                    working=pair.after.left,
                    verdict="advise" if pair.after.short else None,
                ),
                _then(study, pair),
            )
            for pair in pairs
        ),
    )


def _then(study: Study, pair: MarginPair) -> str:
    after = pair.after
    words = []
    if after.unknown:
        words.append("not certain: a current is not known")
    if after.drained_ah > 0:
        lasts = units.show(after.lasts_s, "s")
        drawn = f"{after.share.drawn_a:.1f} A, {after.drained_ah:.1f} Ah in {lasts}"
        words.append(f"discharges the battery: {drawn}")
    if after.share.help_a > SHORT_A:
        words.append(f"others help with {after.share.help_a:.1f} A")
    if after.used_part is not None and not keeps_rule(study, after):
        most = rule_of(study, after).value
        words.append(f"{after.used_part * 100:.0f} % of the rating, above {most * 100:.0f} %")
    return "; ".join(words)
