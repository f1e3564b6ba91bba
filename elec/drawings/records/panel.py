"""Panels of breakers, fuses and switches as the pilot sees them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from elec import units
from elec.answers.connect.makeup import Makeup, makeups
from elec.answers.connect.panel import (
    PanelLayout,
    Position,
    Positioned,
    engraving,
    heading,
    letters_mm,
    panels,
)
from elec.answers.connect.reversing import reversing
from elec.answers.connect.throw import throw
from elec.answers.drop.drops import feeder_drops
from elec.answers.loads.carried import carried_a
from elec.drawings.inputs import A_RIGHT, NO_HOLE, ONE_POLE, PanelFace, PanelPosition
from elec.drawings.layout.view import INCH_M
from elec.drawings.records import words
from elec.drawings.records.behind import (
    THERE,
    Pole,
    at_terminals,
    behind_device,
    bolted,
    by_pole,
    chains_by_part,
    field,
    joins,
    landing_on,
    links,
    shortly,
    sides_of,
)
from elec.model.panel import Panel
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.coils import coil_chain, limit_switches
from elec.wiring.runs import runs

MADE = (
    "Nobody laid this out: positions are a proposal. "
    "Do not drill or engrave from it; section panels sets it."
)
SEEN = f"Front; {A_RIGHT}."
SEEN_AT = "Front; from behind: {sheet}."
OFF_DOWN = "Levers down: off, as on C."
OFF_MIDDLE = "Levers in the middle: off, as on C."
OFF_BOTH = "Levers: off, as on C."
MIDDLE = "Three positions: middle."
BEHIND = "from behind"
"""In a cell: the view from behind on the same sheet has the wires."""
FAR_WIRE = "Wire: on the terminal that is not on the bus bar."
FREE = NO_HOLE
HEAVY = "Thick: all essential."
ENGRAVED = "Engrave words not grey; brackets if you like."
DIODES = "Diodes: type not in the file."
CARRIES = "Carries: lasting."
A_POLE = "Carries: most loaded pole, lasting."
MAKERS = "Not to scale: holes and spacing as the makers say."
NOT_TO_SCALE = "Mark out; drill when the screws are chosen."
OFF = "off-panel"
"""What stands on no panel, as if it were one."""
OFF_TITLE = "On no panel"
SEVERAL = "{kinds} elsewhere"
Spots = Sequence[Sequence[PanelPosition]]


def panel_record(
    study: Study, name: str, sheets: Mapping[str, tuple[str, str]], rear_at: str = ""
) -> PanelFace:
    """One panel; `sheets` gives for a circuit the name and id of its sheet.

    `rear_at` names the sheet that has the large panels from behind.
    """
    if name == OFF:
        return _off_panel(study, sheets)
    layout = panels(study).by_name[name]
    taken = [p for p in layout.positions if p.subject is not None]
    switches = layout.holds == "switches"
    rows = [
        _switch_row(study, p, sheets) if switches else _row(study, layout, p, sheets) for p in taken
    ]
    left = ", ".join(s.text for s in layout.left_over)
    spots = tuple(tuple(_spot(study, layout, p, sheets) for p in row) for row in layout.rows)
    heavy = any(spot.heavy for row in spots for spot in row)
    across, down, measures = drilled(study, layout)
    one_pole = switches and any(not _kind(study, p.subject) for p in taken if p.subject)
    apart = rear_at if name in behind_apart(study) else ""
    drawn = (
        switches
        and layout.given
        and all(spot.terminals for row in spots for spot in row if spot.kind)
    )
    several = switches and any(_makeup(study, p.subject).poles > 1 for p in taken if p.subject)
    notes = (
        (SEEN_AT.format(sheet=apart) if apart else SEEN, True),
        *((note, True) for note in _levers(study, taken) if switches),
        (FAR_WIRE, any(spot.bar and not spot.terminals for row in spots for spot in row)),
        (ENGRAVED, bool(measures)),
        (FREE, len(taken) < len(layout.positions)),
        (HEAVY, heavy),
        (NOT_TO_SCALE, measures),
        (MAKERS, layout.given and not measures),  # else a warning stands there
        (ONE_POLE, one_pole),
        (A_POLE, several),
        (CARRIES, switches and not several),
    )
    return PanelFace(
        title=words.title_block(study, panel_title(study, name), 1),
        id=f"panel {name}",
        columns=layout.columns,
        rows=spots,
        heads=_heads(SWITCH_HEADS if switches else HEADS, rows),
        table=tuple(_shorter(row, apart or BEHIND) for row in rows) if drawn else tuple(rows),
        shorter=tuple(_shorter(row, apart) for row in rows) if switches and not drawn else (),
        notes=tuple(note for note, said in notes if said),
        of_plate=(
            ENGRAVED,
            FREE,
            HEAVY,
            NOT_TO_SCALE,
            *(_levers(study, taken) if switches else ()),
        ),
        warning="" if layout.given else MADE,
        sits=words.place(study, layout.place) if layout.place else "",
        across=across,
        down=down,
        measures=measures,
        plate=_plate(study, layout) if measures else (),
        holes=_hole_mm(study, layout),
        letters=letters_mm(layout.holds),
        rear=layout.given,
        bars=tuple((bus, study.system.title("buses", bus)) for bus in _bar_buses(spots)),
        behind=(*_levers_join(study, taken), *_under_view(study, layout, spots)),
        rear_at=apart,
        missing=f"No position is given for {left}." if left else "",
        size=words.paper(study, large=False),
        larger=words.paper(study, large=True),
    )


def _levers(study: Study, taken: Sequence[Position]) -> Iterator[str]:
    """How the levers of a panel are drawn, and whether that is off."""
    subjects = [p.subject for p in taken if p.subject is not None]
    throws = {s.name: throw(study, s) for s in subjects}
    two = any(s.kind == "switch" and not throws[s.name].lever for s in subjects)
    three = [one for one in throws.values() if one.lever]
    off = all(one.lever[1] and one.middle == one.lever[1] for one in three)
    if three and off:
        yield OFF_BOTH if two else OFF_MIDDLE
    elif two:
        yield OFF_DOWN
    if not off:
        yield MIDDLE


SMALL = 4
"""A panel that holds no more than this shares a sheet with others."""


MUCH = 16
"""A panel that holds more is seen from behind on a further sheet: under its table is no room."""


@analysis
def behind_apart(study: Study) -> tuple[str, ...]:
    """The panels that are laid out and hold so much that a further sheet shows them from behind.

    Where there is one the switches stand on it, too: all views from behind are together.
    """
    layouts = panels(study).by_name
    given = {n: one for n, one in layouts.items() if one.given and len(one.subjects) > SMALL}
    if all(len(one.subjects) <= MUCH for one in given.values()):
        return ()
    return tuple(
        n for n, one in given.items() if len(one.subjects) > MUCH or one.holds == "switches"
    )


@analysis
def panel_groups(study: Study) -> tuple[tuple[str, ...], ...]:
    """Which panels share a drawing: the small ones, and what is on none or by itself."""
    layouts = {name: one for name, one in panels(study).by_name.items() if not one.lone}
    small = tuple(name for name, layout in layouts.items() if len(layout.subjects) <= SMALL)
    large = tuple((name,) for name in layouts if name not in small)
    shared = (*small, OFF) if _off(study) else small
    if shared == (OFF,) and large:  # a list alone is not worth a sheet
        return (*large[:-1], (*large[-1], OFF))
    return (*large, shared) if shared else large


def group_title(study: Study, names: Sequence[str]) -> str:
    """The title of panels that share a drawing."""
    faces = [name for name in names if name != OFF]
    if len(faces) > 1:
        kinds = dict.fromkeys(panels(study).by_name[name].holds for name in faces)
        return SEVERAL.format(kinds=" and ".join(kinds).capitalize())
    return "; ".join(panel_title(study, name) for name in names)


def panel_title(study: Study, name: str) -> str:
    """The title of a panel, with the mark that its positions begin with."""
    if name == OFF:
        return OFF_TITLE
    layout = panels(study).by_name[name]
    title = layout.title[:1].upper() + layout.title[1:]
    return f"{title} ({layout.mark})" if layout.mark else title


def drilled(study: Study, layout: PanelLayout) -> tuple[tuple[str, ...], tuple[str, ...], str]:
    """Where the holes of each column and of each row are, in mm, and what is said about it."""
    entry = study.document.panels.get(layout.name)
    if entry is None or not layout.given or entry.pitch_m is None:
        return (), (), ""
    edge, pitch, apart = entry.edge_m or 0.0, entry.pitch_m, entry.row_pitch_m
    count = len(layout.rows)
    known = apart is not None or count == 1
    inches = study.system.about.units == "feet"

    def at(length_m: float) -> str:
        return f"{_mm(length_m)} ({_inch(length_m, 2)})" if inches else _mm(length_m)

    across = tuple(at(edge + pitch * k) for k in range(layout.columns))
    down = tuple(at(edge + (apart or 0.0) * k) for k in range(count)) if known else ()
    said = ["mm (in) to hole centres" if inches else "mm to hole centres"]
    if entry.edge_m is None:
        said[0] += f", from hole {layout.positions[0].spot}"
    else:
        said[0] += " from top left"
        wide = 2 * edge + pitch * (layout.columns - 1)
        high = 2 * edge + (apart or 0.0) * (count - 1)
        said.append(f"plate {_sizes(wide, high, inches) if known else f'{_mm(wide)} wide'}")
    if not known:
        said.append("height of rows not given")
    buttons = any(s.kind == "button" for s in layout.subjects)
    said.append(_holes(entry, buttons=buttons, inches=inches))
    return across, down, "; ".join(said) + "."


def _plate(study: Study, layout: PanelLayout) -> tuple[float, ...]:
    """Spacing of columns and of rows and the edge, in mm; empty where one is not given."""
    entry = study.document.panels[layout.name]
    apart = entry.row_pitch_m if len(layout.rows) > 1 else 0.0
    if entry.pitch_m is None or entry.edge_m is None or apart is None:
        return ()
    return (1000 * entry.pitch_m, 1000 * apart, 1000 * entry.edge_m)


def _hole_mm(study: Study, layout: PanelLayout) -> tuple[float, ...]:
    """Diameter of the holes and of those of buttons, mm; empty where one is not given."""
    entry = study.document.panels.get(layout.name)
    if entry is None or entry.hole_m is None:
        return ()
    buttons = any(s.kind == "button" for s in layout.subjects)
    if buttons and entry.button_hole_m is None:
        return ()
    return (1000 * entry.hole_m, 1000 * (entry.button_hole_m or entry.hole_m))


def _sizes(wide_m: float, high_m: float, inches: bool) -> str:
    """Width and height of a plate in mm, and in inches behind them where the builder has these."""
    beside = f" ({_inch(wide_m, 2)} x {_inch(high_m, 2)})" if inches else ""
    return f"{_mm(wide_m)} x {_mm(high_m)}{beside}"


def _holes(entry: Panel, *, buttons: bool, inches: bool) -> str:
    """How large the holes are, those of buttons by themselves, and what is not in the file."""

    def size(diameter_m: float) -> str:
        return f"{_mm(diameter_m)} ({_inch(diameter_m, 3)})" if inches else _mm(diameter_m)

    known = [] if entry.hole_m is None else [f"holes {size(entry.hole_m)}"]
    if buttons and entry.button_hole_m is not None:
        known.append(f"buttons {size(entry.button_hole_m)}")
    elif buttons and known:
        known.append("buttons ?")
    rest = "key slots, fixing screws, corners: not given"
    return f"{', '.join(known)}; {rest}" if known else f"holes, {rest}"


def _mm(length_m: float) -> str:
    """A length in millimetres without the unit, to a tenth."""
    return f"{round(length_m * 1000, 1):g}"


def _inch(length_m: float, places: int) -> str:
    """A length in inches without the unit: positions to a hundredth, holes to a thousandth.

    >>> _inch(0.016, 2), _inch(0.0115, 3)
    ('0.63', '0.453')
    """
    return f"{length_m / INCH_M:.{places}f}"


FEEDERS = "P1"
"""The first sheet of the one-line diagram, where feeders stand."""
HEADS = ("at", "engraved (protects)", "amps", "wire", "sheet")
SWITCH_HEADS = (
    "at", "engraved (poles)", "up", "middle", "down", "carries", "rated", "wires", "sheet",
)  # fmt: skip
WIRES_AT = SWITCH_HEADS.index("wires")
OFF_HEADS = ("what", "rating", "sits", "protects or switches", "wires", "sheet")


def _spot(
    study: Study, layout: PanelLayout, position: Position, sheets: Mapping[str, tuple[str, str]]
) -> PanelPosition:
    subject = position.subject
    bus = heading(study, position, layout.holds)
    heavy = bool(bus) and _essential_below(study, layout, bus)
    if subject is None:
        return PanelPosition(name=position.name, column=position.column, bus=bus, heavy=heavy)
    lever = throw(study, subject).lever if layout.holds == "switches" else ()
    return PanelPosition(
        name=position.name,
        column=position.column,
        text=engraving(study, subject),
        rating=_amps(study, subject.chains[0]) if layout.holds != "switches" else "",
        kind=subject.kind,
        bus=bus,
        heavy=heavy,
        lever=lever,
        behind=_behind(study, subject, switch=layout.holds == "switches"),
        terminals=_terminals(study, subject)
        if layout.holds == "switches"
        else _both_sides(study, layout, position),
        there=_there(study, subject, sheets) if layout.holds == "switches" else (),
        bar=position.bus if _bolted(study, subject, layout) else "",
        ref=subject.name,
    )


def _behind(study: Study, subject: Positioned, *, switch: bool) -> tuple[str, ...]:
    """The wires on a device, or at the terminals of a switch, a line each."""
    if switch:
        return at_terminals(by_pole(study, subject, full=True))
    wires = behind_device(study, chains(study).named(subject.chains[0]))
    return tuple(filter(None, wires.replace("→", ", ").split(", ")))


def _terminals(study: Study, subject: Positioned) -> tuple[Pole, ...]:
    """The terminals of a switch pole by pole with their wires, where they are counted."""
    made = _makeup(study, subject)
    return field(at_terminals(by_pole(study, subject, full=True)), made.poles, made.throws)


def _both_sides(study: Study, layout: PanelLayout, position: Position) -> tuple[Pole, ...]:
    """The two terminals of a device that no bar feeds: one under the other they read as one.

    That of a link which is not in the file says so; empty where a bar feeds it.
    """
    assert position.subject is not None  # noqa: S101  # the caller asks for taken positions only
    chain = chains(study).named(position.subject.chains[0])
    before, wired, after = behind_device(study, chain).partition("→")
    if bolted(chain) and _lone(study, layout, position.bus):
        before, wired, after = LINK, LINK, before
    return ((("1", tuple(before.split(", "))), ("2", tuple(after.split(", ")))),) if wired else ()


LINK = "link"
"""At a terminal: from a bus or stud, and not in the file."""


def _there(
    study: Study, subject: Positioned, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    """The sheets that have the wires of a switch of several terminals; empty for another."""
    if shortly(by_pole(study, subject)) != THERE:
        return ()
    found = dict.fromkeys(sheets.get(name, (FEEDERS, ""))[0] for name in subject.chains)
    return tuple(f"see {name}" for name in found)


def _bolted(study: Study, subject: Positioned, layout: PanelLayout) -> bool:
    """Whether a device has no wire before it: it stands on the bar of its bus."""
    if layout.holds == "switches":
        return False
    return bolted(chains(study).named(subject.chains[0]))


BARS_JOINED = (
    "Bars of one bus: joined by a jumper or bar, not in the file; nor where a wire lands on them."
)
NO_HARDWARE = "Terminals of {what} (screw, blade, ring size): not in the file."


def _bar_buses(spots: Spots) -> list[str]:
    """The buses that have a bar on a panel: what one device alone is bolted to lies elsewhere."""
    on = [spot.bar for row in spots for spot in row if spot.bar]
    return [bus for bus in dict.fromkeys(on) if on.count(bus) > 1]


def _levers_join(study: Study, taken: Sequence[Position]) -> Iterator[str]:
    """Which terminals the levers of three positions join, in one line those that do alike."""
    alike: dict[tuple[str, str], list[str]] = {}
    for position in taken:
        if position.subject is not None and any(found := joins(study, position.subject)):
            alike.setdefault(found, []).append(position.name)
    for (up, down), names in alike.items():
        yield f"{', '.join(names)}: up joins {up or '?'}; down {down or '?'}"
    for position in taken:
        if position.subject is not None and (empty := _empty(study, position.subject)):
            yield f"{position.name}: {', '.join(empty)} stay empty"
    for position in taken:
        subject = position.subject
        if subject is not None and subject.holds == "switches":
            said = ", ".join(
                f"({a})–({b}) {wire}" for a, b, wire in links(_terminals(study, subject))
            )
            if said:
                yield f"{position.name}: links on the switch: {said}"


def _empty(study: Study, subject: Positioned) -> tuple[str, ...]:
    """The terminals of a switch with two throws that have no wire; where they are counted."""
    if subject.holds != "switches":
        return ()
    made = _makeup(study, subject)
    used = {one.partition(" ")[0] for one in at_terminals(by_pole(study, subject))}
    every = [f"({k + 1})" for k in range((made.throws + 1) * made.poles)]
    counted = made.throws > 1 and used & set(every)
    return tuple(one for one in every if one not in used) if counted else ()


def _under_view(study: Study, layout: PanelLayout, spots: Spots) -> Iterator[str]:
    """What ends on each bar of a panel, what feeds it among that, and what nobody said."""
    own = [name for subject in layout.subjects for name in subject.chains]
    barred = _bar_buses(spots)
    for bus in barred:
        found = landing_on(study, bus, own, lambda part: _device_name(study, part))
        title = study.system.title("buses", bus)
        yield f"wires on the bar of {title}: {'; '.join(found) or 'none in the file'}"
    for spot in (spot for row in spots for spot in row):
        if spot.bar and spot.bar not in barred:
            yield f"{spot.name}: {_link(study, spot.bar)}"
    if any(sum(any(s.bar == bus for s in row) for row in spots) > 1 for bus in barred):
        yield BARS_JOINED
    yield NO_HARDWARE.format(what=layout.holds)


ON_ITS_BUS = "link from the {bus}: not in the file, yours to add"
"""What joins a device to a bus that has no bar on its panel."""


def _link(study: Study, bus: str) -> str:
    return ON_ITS_BUS.format(bus=study.system.title("buses", bus))


def _device_name(study: Study, part: Part) -> str:
    """What a device is called that stands on another panel, or on none."""
    position = on_panel(study, part.rated or part.name)
    return off_name(study, part) or (position.name if position is not None else "")


def _essential_below(study: Study, layout: PanelLayout, said: str) -> bool:
    """Whether all that stands under one heading is essential; nothing does: it is not."""
    found = [p.subject for p in layout.positions
             if p.subject and heading(study, p, layout.holds) == said]  # fmt: skip
    return bool(found) and all(subject.essential for subject in found)


def _amps(study: Study, chain: str) -> str:
    """A rating as it stands on a breaker's button: amperes without the unit."""
    device = sizing(study).devices.get(chain)
    amps = device.rating_a if device else None
    return "?" if amps is None else f"{amps:g}"


def _row(
    study: Study, layout: PanelLayout, position: Position, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    subject = position.subject
    assert subject is not None  # noqa: S101  # the caller asks for taken positions only
    chain = chains(study).named(subject.chains[0])
    wires = behind_device(study, chain)
    if bolted(chain) and _lone(study, layout, position.bus):
        wires = f"{wires} ({_link(study, position.bus)})"
    return (
        position.name,
        engraving(study, subject) + _besides(subject.text, chain.title).removeprefix(subject.text),
        _amps(study, chain.name),
        wires,
        sheets.get(chain.name, (FEEDERS, ""))[0],
    )


def _lone(study: Study, layout: PanelLayout, bus: str) -> bool:
    """Whether no other device of a panel that is laid out is bolted to a bus: no bar is there."""
    on = [p for p in layout.positions
          if p.subject and p.bus == bus and _bolted(study, p.subject, layout)]  # fmt: skip
    return layout.given and len(on) == 1


def _switch_row(
    study: Study, position: Position, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    subject = position.subject
    assert subject is not None  # noqa: S101  # the caller asks for taken positions only
    does = throw(study, subject)
    found = dict.fromkeys(sheets.get(name, (FEEDERS, ""))[0] for name in subject.chains)
    carries = _most_a(study, subject.chains)
    return (
        position.name,
        _besides(subject.text, _kind(study, subject)),
        does.up,
        does.middle,
        "" if subject.kind == "button" else does.down,
        carries,
        _rated(study, subject.name),
        by_pole(study, subject),
        ", ".join(found),
    )


def _shorter(row: tuple[str, ...], apart: str) -> tuple[str, ...]:
    """A row of a switch in one line: its wires, or the sheet that has those of its terminals."""
    wires = shortly(row[WIRES_AT])
    at = apart if apart == BEHIND else f"see {apart or row[-1]}" if apart or row[-1] else ""
    said = at if wires == THERE and at else wires
    return (*row[:WIRES_AT], said, *row[WIRES_AT + 1 :])


def _heads(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Heads of a table; what would stand in brackets is not announced where nothing does."""
    plain = not any("(" in row[1] for row in rows)
    return (heads[0], heads[1].partition(" (")[0] if plain else heads[1], *heads[2:])


def _besides(engraved: str, said: str) -> str:
    """What is engraved, and in brackets what that does not say.

    A feeder is called like the bus at its end; it stands under the bus that it begins at.

    >>> _besides("NAV LEFT", "nav left"), _besides("BATTERY", "battery to essential bus")
    ('NAV LEFT', 'BATTERY (battery to essential bus)')
    >>> _besides("ESSENTIAL BUS", "main bus to essential bus")
    'ESSENTIAL BUS'
    """
    known = (engraved.casefold(), "", engraved.casefold().partition(" from ")[0])
    same = said.casefold() in known or said.casefold().rpartition(" to ")[2] in known
    return engraved if same else f"{engraved} ({said})"


def _kind(study: Study, subject: Positioned) -> str:
    """What to buy it as; empty for most, one pole that a lever closes."""
    kind = "" if subject.kind == "switch" else subject.kind
    return ", ".join(filter(None, (kind, _makeup(study, subject).text)))


def _makeup(study: Study, subject: Positioned) -> Makeup:
    return makeups(study)[subject.name]


def _most_a(study: Study, poles: Sequence[str]) -> str:
    """What the pole of a switch that carries most carries, as its rating is meant.

    Not the sum: poles do not share a current, and of a changeover one alone is closed.
    """
    amps = [_carried_a(study, name) for name in poles]
    if None in amps:
        return "?"
    most = max((a for a in amps if a is not None), default=0.0)
    said = units.show(most, "a", digits=1) if most else ""
    return f"{most:.2g} A" if said.endswith("mA") else said  # all of a column in one unit


def _rated(study: Study, switch: str) -> str:
    """What each pole of a switch may carry; empty where it is not given."""
    entry = study.document.switches.get(switch)
    return "" if entry is None or entry.rating_a is None else units.show(entry.rating_a, "a")


def _carried_a(study: Study, chain: str) -> float | None:
    """What a circuit carries at most, or a feeder has to carry lastingly."""
    if chain in study.document.circuits:
        return carried_a(study, chain)
    found = feeder_drops(study).get(chain)
    return found.current_a if found is not None else None


# --- on no panel ------------------------------------------------------------------------------


def _off_panel(study: Study, sheets: Mapping[str, tuple[str, str]]) -> PanelFace:
    """Every protective device, diode and contact that no panel has, and where it sits."""
    found = _off(study)
    rows = tuple(_off_row(study, chain, part, sheets) for chain, part in found)
    return PanelFace(
        title=words.title_block(study, OFF_TITLE, 1),
        id=f"panel {OFF}",
        columns=0,
        rows=(),
        heads=OFF_HEADS,
        table=rows,
        refs=tuple(f"off {part.id}" for _, part in found),
        notes=(
            *((ONE_POLE,) if any("-pole" in row[1] for row in rows) else ()),
            *((DIODES,) if any("diode" in row[1] for row in rows) else ()),
            *((BOLTED_SAID,) if any(BOLTED in row[-2].split("→") for row in rows) else ()),
        ),
        size=words.paper(study, large=False),
    )


def _off(study: Study) -> tuple[tuple[Chain, Part], ...]:
    """Limiters, diodes, fuses in a wire, then contactors, relays, switches out of reach."""
    devices: dict[str, tuple[Chain, Part]] = {}
    contacts: dict[str, tuple[Chain, Part]] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in PROTECTS:
                held = part.kind in ON_PANEL and chain.kind != "wire"
                if not held or not on_panel(study, part.rated or chain.name):
                    devices.setdefault(part.id, (chain, part))
            elif part.kind == DIODE:
                devices.setdefault(part.id, (chain, part))
            elif part.kind in FLIPPED and not on_panel(study, part.name, switch=True):
                contacts.setdefault(part.name, (chain, part))
    return (*devices.values(), *contacts.values())


@analysis
def _off_names(study: Study) -> Mapping[str, str]:
    counted: dict[str, int] = {}
    found: dict[str, str] = {}
    for _, part in _off(study):
        if part.kind in (*PROTECTS, DIODE):
            counted[part.kind] = counted.get(part.kind, 0) + 1
            called = "D" if part.kind == DIODE else f"{part.kind} "  # short, as its symbol is
            found[part.id] = f"{called}{counted[part.kind]}"
    return found


def off_name(study: Study, part: Part) -> str:
    """What a diode, or a device that stands on no panel, is called: `limiter 2`, `D1`; else empty.

    Counted by kind in the order of the file, feeders first.
    """
    return _off_names(study).get(part.id, "")


def on_panel(study: Study, name: str, *, switch: bool = False) -> Position | None:
    """Where a device or switch stands on a panel; None where it stands on none, or by itself."""
    position = panels(study).position(name, switch=switch)
    return None if position is None or panels(study).by_name[position.panel].lone else position


DIODE = "diode"
PROTECTS = ("breaker", "fuse", "limiter")
ON_PANEL = ("breaker", "fuse")
FLIPPED = ("switch", "contactor", "changeover")


def _off_row(
    study: Study, chain: Chain, part: Part, sheets: Mapping[str, tuple[str, str]]
) -> tuple[str, ...]:
    where = words.place(study, part.place) or "place ?"
    sheet = sheets.get(chain.name, (FEEDERS if chain.kind == "feeder" else "", ""))[0]
    if part.kind in (*PROTECTS, DIODE):
        near = part.label if chain.kind == "wire" else f"at {_near(study, chain, part)}"
        return (
            off_name(study, part),
            f"{part.name.capitalize()} diode, {_least(study, [chain])}"
            if part.kind == DIODE
            else f"{_amps(study, part.rated or chain.name)} A",
            f"{near}, {where}",
            chain.title,
            _in_and_out(study, [chain], part),
            sheet,
        )
    used = chains_by_part(study).get(part.name, ())
    turned = [one for one in used if (bridge := reversing(study).get(one.name)) is not None
              and bridge.by == "switch"]  # fmt: skip
    rest = "closed at rest" if part.name in limit_switches(study) else ""
    rest += f"; diode {_least(study, turned)}" if rest and turned else ""
    made = ", ".join(filter(None, (_rated(study, part.name), makeups(study)[part.name].text, rest)))
    coil = coil_chain(study, part.name)
    own = [one for one in used if one is not coil]
    drawn = [sheets.get(one.name, (FEEDERS if one.kind == "feeder" else "", ""))[0] for one in own]
    drawn += [f"coil {sheets[coil.name][0]}"] if coil and coil.name in sheets else []
    found = dict.fromkeys(filter(None, drawn))
    titles = ", ".join(dict.fromkeys(one.title for one in own))
    hand = study.document.circuits[coil.name].switch if coil is not None else None
    by = f"; pulled by {study.system.title('switches', hand)}" if hand else ""
    wires = _flipped(study, own, part) or f"see {next(iter(found), FEEDERS)}"
    return (part.label, made, where, titles + by, wires, ", ".join(found))


def _in_and_out(study: Study, found: Sequence[Chain], part: Part) -> str:
    """The wires before a part and behind it; a dash where it is bolted to what stands there."""
    before, after = (", ".join(side) or BOLTED for side in sides_of(study, found, part.id))
    return f"{before}→{after}"


BOLTED = "–"
BOLTED_SAID = "–: bolted there, no wire."


def _flipped(study: Study, own: Sequence[Chain], part: Part) -> str:
    """The wires of a contact on no panel; empty where it has more than line and load side."""
    turned = any(
        (bridge := reversing(study).get(one.name)) is not None and bridge.control == part.name
        for one in own
    )
    if turned or part.kind == "changeover" or len(own) > 1:
        return ""
    found = {p.id for one in own for p in one.parts() if p.name == part.name}
    return _in_and_out(study, own, part) if found == {part.id} else ""


def _least(study: Study, found: Sequence[Chain]) -> str:
    """What a diode has to carry at least: what opens its feeder, else what its circuit carries.

    It has to live until the breaker or fuse before it opens.
    """
    amps = [
        device.rating_a
        if chain.kind == "feeder" and (device := sizing(study).devices.get(chain.name))
        else _carried_a(study, chain.name)
        for chain in found
    ]
    known = [a for a in amps if a is not None]
    if not known or len(known) < len(amps):
        return "amps ?"
    return f"at least {units.show(max(known), 'a', digits=1)}"


def _near(study: Study, chain: Chain, part: Part) -> str:
    """What a device of a feeder is bolted to or near by: the end to which less wire leads.

    By count of what lies between where a length is not known.
    """
    row = next(row for row in chain.rows if part in row.parts)
    k = row.parts.index(part)
    before, after = _wire_m(study, row.conductors[:k]), _wire_m(study, row.conductors[k:])
    if before is None or after is None:
        before, after = k, len(row.parts) - 1 - k
    return row.parts[0 if before <= after else -1].label


def _wire_m(study: Study, wires: Iterable[Conductor | None]) -> float | None:
    """Their length; None where one is not known. What is bolted together has no wire."""
    lengths = [runs(study)[one.id].length_m for one in wires if one is not None]
    known = [length_m for length_m in lengths if length_m is not None]
    return sum(known) if len(known) == len(lengths) else None
