"""All drawings of a system, each with a code of its own, and their cross references.

In: a `Study`. Out: `plan`, what there is to draw, known without drawing; `draw`, the sheets of one
drawing; `drawings`, all of them. A drawing's code is a letter for its kind and its place in the
builder's order (C12: the twelfth circuit), so that one drawing can be made, printed anew and put
into the binder without any other.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from functools import cached_property
from typing import Literal, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.connect.panel import panels
from elec.answers.connect.pins import pins
from elec.answers.connect.reversing import reversing
from elec.drawings.index import SheetSpot, index, numbered, placed, with_spots
from elec.drawings.inputs import (
    CircuitSheet,
    CircuitsSheet,
    GroundsDrawing,
    InterconnectDrawing,
    OneLine,
    PanelFace,
)
from elec.drawings.map_inputs import RouteMap
from elec.drawings.records import circuits, distribution, words
from elec.drawings.records.bench import (
    bench_pages,
    connectors_by_place,
    contact_facts,
    crimp_facts,
    how_to_measure,
)
from elec.drawings.records.grounds import ground_record
from elec.drawings.records.interconnect import interconnect_record, interconnects
from elec.drawings.records.legend import (
    abbreviations,
    conventions,
    in_plain_words,
    mark_notes,
    probes,
)
from elec.drawings.records.panel import (
    OFF,
    OFF_TITLE,
    behind_apart,
    group_title,
    panel_groups,
    panel_record,
)
from elec.drawings.records.routes import TITLE, has_map, route_record
from elec.drawings.records.thin import thin_homes
from elec.drawings.records.together import CircuitGroup, circuit_groups, group_record
from elec.drawings.sheet import Sheet, TitleBlock, label
from elec.drawings.sheets.bench import bench
from elec.drawings.sheets.circuit import circuit
from elec.drawings.sheets.grounds import grounds
from elec.drawings.sheets.interconnect import interconnect
from elec.drawings.sheets.legend import AT_TRUE_SIZE, BRIDGE, NO_WIRE, SIGNS, legend
from elec.drawings.sheets.legend import TITLE as LEGEND
from elec.drawings.sheets.one_line import one_line
from elec.drawings.sheets.panel import panel
from elec.drawings.sheets.parts import used_symbols
from elec.drawings.sheets.plates.rear import TITLE as BEHIND
from elec.drawings.sheets.plates.rear import behind
from elec.drawings.sheets.routes import routes
from elec.drawings.sheets.together import together
from elec.drawings.symbols import NAMES
from elec.study import Study, analysis
from elec.wiring.chains import chains

DrawingKind = Literal[
    "one-line", "interconnect", "circuit", "grounds", "routes", "panel", "connector", "legend",
]  # fmt: skip
LETTERS: dict[str, str] = {
    "one-line": "P",
    "interconnect": "N",
    "circuit": "C",
    "grounds": "G",
    "routes": "R",
    "panel": "B",
    "connector": "K",
    "legend": "L",
}
"""Kind of drawing → first letter of its sheets' names. A kind of which there is one drawing counts
its sheets (P1, P2; N1, N2 where the builder asks for no several interconnects), any other its
drawings (C1, C2) and then their sheets (C2.2)."""
SINGLE = ("one-line", "grounds", "routes", "legend")
_Record = TypeVar(
    "_Record",
    CircuitSheet,
    CircuitsSheet,
    GroundsDrawing,
    InterconnectDrawing,
    OneLine,
    PanelFace,
    RouteMap,
)


class Planned(Struct, frozen=True, kw_only=True):
    """A drawing that can be made; `about` names the circuit, equipment or connector."""

    kind: DrawingKind
    about: str
    title: str
    code: str
    make: Callable[[str], Sequence[Sheet]]
    """Code → the sheets."""
    names: tuple[str, ...] = ()
    """All that it is about, where it is about several things."""

    @property
    def counted(self) -> bool:
        """Whether its sheets are counted (P1, P2): it is the only drawing of its kind."""
        return len(self.code) == 1

    @property
    def first(self) -> str:
        """The name of the first sheet."""
        return label(self.code, 1)


class Drawing(Struct, frozen=True, kw_only=True):
    """One drawing on one or more sheets; `about` names the circuit, equipment or connector."""

    kind: DrawingKind
    about: str
    title: str
    sheets: tuple[Sheet, ...]
    names: tuple[str, ...] = ()
    """All that it is about, where it is about several things."""


class Drawings(Struct, frozen=True, kw_only=True, dict=True):
    """Every drawing of a system, in the order of the sheets."""

    drawings: tuple[Drawing, ...]

    @cached_property
    def index(self) -> dict[str, tuple[SheetSpot, ...]]:
        """Reference (a conductor's id, a name of equipment) → where it is drawn."""
        return index(self.sheets)

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """All sheets."""
        return tuple(sheet for drawing in self.drawings for sheet in drawing.sheets)

    def of(self, kind: DrawingKind, about: str = "") -> tuple[Drawing, ...]:
        """The drawings of a kind, or those about one thing."""
        return tuple(
            d for d in self.drawings if d.kind == kind and about in ("", d.about, *d.names)
        )


@analysis
def plan(study: Study) -> tuple[Planned, ...]:
    """Every drawing of the system in the order of the sheets; none is made."""
    found: list[Planned] = []
    for make in (
        _legend,  # how to read the others, and where each is
        _one_line,
        _interconnects,
        _circuits,
        _grounds,
        _routes,
        _panels,
        _connectors,
    ):
        made = list(make(study))
        for number, drawing in enumerate(made, 1):
            letter = LETTERS[drawing.kind]
            alone = drawing.kind in SINGLE or (drawing.kind == "interconnect" and len(made) == 1)
            found.append(replace(drawing, code=letter if alone else f"{letter}{number}"))
    return tuple(found)


def draw(study: Study, planned: Planned) -> Drawing:
    """Make one drawing, with what it says about others; the second time it is remembered."""
    made = study.result(_made)
    if planned.code not in made:
        sheets = _bare(study, planned)
        made[planned.code] = Drawing(
            kind=planned.kind,
            about=planned.about,
            title=planned.title,
            sheets=tuple(with_spots(sheets, _spot(study))),
            names=planned.names,
        )
    return made[planned.code]


def _bare(study: Study, planned: Planned) -> tuple[Sheet, ...]:
    """The sheets of a drawing before it is written in where other things are drawn.

    Room is kept for that, so nothing moves by it, and a drawing needs of the others only this.
    """
    made = study.result(_laid_out)
    if planned.code not in made:
        made[planned.code] = tuple(numbered(planned.make(planned.code), planned.code))
    return made[planned.code]


def _laid_out(study: Study) -> dict[str, tuple[Sheet, ...]]:
    """Code → sheets, as far as they were made."""
    del study
    return {}


def _made(study: Study) -> dict[str, Drawing]:
    """Code → the drawing, as far as it was made."""
    del study
    return {}


@analysis
def drawings(study: Study) -> Drawings:
    """Draw everything."""
    done = in_set([draw(study, planned) for planned in plan(study)])
    return Drawings(drawings=done)


def in_set(whole: Sequence[Drawing]) -> tuple[Drawing, ...]:
    """The drawings of the whole set, each sheet with its place in it and how many there are."""
    total = sum(len(drawing.sheets) for drawing in whole)
    found: list[Drawing] = []
    before = 0
    for drawing in whole:
        found.append(replace(drawing, sheets=tuple(placed(drawing.sheets, before, total))))
        before += len(drawing.sheets)
    return tuple(found)


# --- kind by kind, in the builder's order -----------------------------------------------------


def _planned(
    kind: DrawingKind, title: str, make: Callable[[str], Sequence[Sheet]], about: str = ""
) -> Planned:
    return Planned(kind=kind, about=about, title=title, code="", make=make)


def _coded(record: _Record, code: str) -> _Record:
    """The record with the drawing's code in its title block."""
    return replace(record, title=replace(record.title, code=code, sheet=1))


def _one_line(study: Study) -> Iterator[Planned]:
    def make(code: str) -> Sequence[Sheet]:
        where = _circuit_sheets(study)
        return one_line(_coded(distribution.one_line_record(study, where), code))

    if study.document.sources or study.document.buses:
        yield _planned("one-line", "Power distribution", make)


def _interconnects(study: Study) -> Iterator[Planned]:
    for name, (title, _) in interconnects(study).items():

        def make(code: str, name: str = name) -> Sequence[Sheet]:
            return interconnect(_coded(interconnect_record(study, name), code))

        yield _planned("interconnect", title, make, name)


def _circuits(study: Study) -> Iterator[Planned]:
    for group in circuit_groups(study):

        def make(code: str, group: CircuitGroup = group) -> Sequence[Sheet]:
            return together(_coded(group_record(study, group), code))

        yield replace(_planned("circuit", group.title, make, group.id), names=group.names)


def _circuit(study: Study, name: str) -> Planned:
    """One circuit on a sheet of its own, with the table of its wires."""

    def make(code: str) -> Sequence[Sheet]:
        return circuit(_coded(circuits.circuit_record(study, name), code))

    return _planned("circuit", chains(study).by_name[name].title, make, name)


def _grounds(study: Study) -> Iterator[Planned]:
    record = ground_record(study)
    if record is not None:
        title = record.title.title
        yield _planned("grounds", title, lambda code: grounds(_coded(record, code)))


def _spot(study: Study) -> Callable[[str], SheetSpot | None]:
    """Where a wire or contact is drawn: on a circuit's sheet, or on that of the grounds or plug.

    Asked for by `wire <id> contact <id>`, `wire <id>` or `equipment <name>`; where the contact is
    named before the wire, the connector's sheet comes first, where a `terminal` is, that on the
    wire's circuit. `ground <wire>` asks for its terminal,
    `bar <bus>` for that on the one-line diagram, `row <wire>` before it for its row there.
    """

    def find(target: str) -> SheetSpot | None:
        if "\t" in target:
            return _drawn_at(study, *target.split("\t")[1:])
        words = target.split(" ")
        asked = dict(zip(words[::2], words[1::2], strict=True))
        name = asked.get("wire", "").partition("/")[0]
        found = [
            ("circuit", thin_homes(study).get(name, name), asked.get("terminal", "")),
            ("circuit", thin_homes(study).get(name, name), asked.get("wire", "")),
            ("grounds", "", asked.get("wire", "")),
            ("grounds", "", asked.get("ground", "")),
            ("one-line", "", asked.get("row", "")),
            ("one-line", "", asked.get("bar", "")),
            ("connector", *_connector_of(study, asked.get("contact", ""))),
            ("connector", *_connector_of(study, asked.get("equipment", ""))),
        ]
        if words[0] == "contact":
            found.sort(key=lambda one: one[0] != "connector")
        for kind, key, ref in found:
            for one in plan(study) if ref else ():
                if one.kind == kind and (not key or key in one.names):
                    spots = _indexed_sheets(study, one)
                    wire = asked.get("wire", "")
                    for exact in (f"{ref} {wire}", f"{ref}.centre {wire}", ref):
                        if exact in spots:
                            return spots[exact][0]
        return None

    return find


def _drawn_at(study: Study, chain: str, ref: str) -> SheetSpot | None:
    """Where a thing stands on the sheets of its circuit, or a feeder on the one-line diagram."""
    known = plan(study)
    own = [one for one in known if one.kind == "circuit" and chain in one.names]
    for one in own or [one for one in known if one.kind == "one-line"]:
        spots = _indexed_sheets(study, one)
        found = spots.get(ref) or spots.get(chain)
        if found:
            return found[0]
    return None


@analysis
def _first_of(study: Study) -> dict[str, str]:
    """Equipment → the first of its connectors."""
    found: dict[str, str] = {}
    for one in pins(study).by_id.values():
        found.setdefault(one.equipment, one.id)
    return found


def _connector_of(study: Study, what: str) -> tuple[str, str]:
    """The connector of a contact, or the first of a piece of equipment, and what stands there."""
    known = pins(study).by_id
    if what in known:
        return what, what
    stem = what.rpartition(".")[0]
    if stem in known:
        return stem, what
    first = _first_of(study).get(what, "") if what else ""
    return (first, first) if first else ("-", "")


def _indexed_sheets(study: Study, one: Planned) -> dict[str, tuple[SheetSpot, ...]]:
    known = study.result(_indexed)
    if one.code not in known:
        known[one.code] = index(_bare(study, one))
    return known[one.code]


def _indexed(study: Study) -> dict[str, dict[str, tuple[SheetSpot, ...]]]:
    """Code of a drawing → what stands where on its sheets, as far as somebody asked."""
    del study
    return {}


def _panels(study: Study) -> Iterator[Planned]:
    groups = panel_groups(study)
    behind_at = f"{LETTERS['panel']}{len(groups) + 1}"
    for names in groups:

        def make(code: str, names: Sequence[str] = names) -> Sequence[Sheet]:
            where = _circuit_sheets(study) | (_fused_wires(study) if OFF in names else {})
            records = [_coded(panel_record(study, name, where, behind_at), code) for name in names]
            return panel(records, group_title(study, names))

        made = _planned("panel", group_title(study, names), make, names[0])
        yield replace(made, names=names)
    apart = behind_apart(study)
    if apart:

        def behind_them(code: str) -> Sequence[Sheet]:
            where = _circuit_sheets(study)
            records = [_coded(panel_record(study, name, where), code) for name in apart]
            return behind(records, _titled(study, BEHIND, code))

        yield _planned("panel", BEHIND, behind_them, "panels-from-behind")


def _fused_wires(study: Study) -> dict[str, tuple[str, str]]:
    """Wire with a fuse of its own → name and id of the sheet that it stands on."""
    found: dict[str, tuple[str, str]] = {}
    for chain in chains(study).of("wire"):
        for conductor in chain.conductors() if chain.device is not None else ():
            spot = _spot(study)(f"wire {conductor.id} contact {conductor.b.id}")
            if spot is not None:
                found[chain.name] = (spot.sheet, spot.sheet_id)
    return found


def _circuit_sheets(study: Study) -> dict[str, tuple[str, str]]:
    """Circuit → name and id of the sheet that it stands on."""
    found: dict[str, tuple[str, str]] = {}
    for one in plan(study):
        if one.kind == "circuit":
            for sheet in _bare(study, one):
                there = {item.ref for item in sheet.items}
                for name in one.names:
                    if name in there:
                        found.setdefault(name, (sheet.title.label, sheet.id))
    return found


def _routes(study: Study) -> Iterator[Planned]:
    def make(code: str) -> Sequence[Sheet]:
        record = route_record(study)
        return routes(_coded(record, code)) if record is not None else ()

    if has_map(study):
        yield _planned("routes", TITLE, make)


def _connectors(study: Study) -> Iterator[Planned]:
    """For the bench, place by place."""
    for place, names in connectors_by_place(study).items():
        title = f"Connectors, {words.place(study, place)}" if place else "Connectors elsewhere"

        def make(code: str, names: Sequence[str] = names, title: str = title) -> Sequence[Sheet]:
            pages = (page for name in names for page in bench_pages(study, name))
            return bench(*pages, title=_titled(study, title, code), shared=True)

        about = f"connectors-{place or 'elsewhere'}"
        yield replace(_planned("connector", title, make, about), names=names)


def _connector(study: Study, name: str) -> Planned:
    title = pins(study).by_id[name].title

    def make(code: str) -> Sequence[Sheet]:
        return bench(*bench_pages(study, name), title=_titled(study, title, code))

    return _planned("connector", title, make, name)


def _titled(study: Study, title: str, code: str) -> TitleBlock:
    return replace(words.title_block(study, title), code=code)


def alone(study: Study, planned: Planned, name: str) -> Planned:
    """One circuit or connector by itself, out of a drawing that it shares with others."""
    made = (_circuit if planned.kind == "circuit" else _connector)(study, name)
    return replace(made, code=f"{planned.code}-{name}", names=(name,))


def _symbols(study: Study) -> tuple[str, ...]:
    """The symbols that stand on the other sheets, in the order of the table."""
    others = [one for one in plan(study) if one.kind != "legend"]
    shown = {name for one in others for sheet in _bare(study, one) for name in used_symbols(sheet)}
    return tuple(name for name in NAMES if name in shown)


def _signs(study: Study) -> Iterator[str]:
    """The signs that stand on the other sheets: what is drawn in other ways than as a symbol."""
    others = [one for one in plan(study) if one.kind != "legend"]
    items = [item for one in others for sheet in _bare(study, one) for item in sheet.items]
    roles, kinds = {item.role for item in items}, {item.kind for item in items}
    texts, refs = {item.text for item in items}, {item.ref for item in items}
    plugs = bool(study.document.plugs)
    true, other = _on_plates(
        [s for one in others if one.kind == "panel" for s in _bare(study, one)]
    )
    subjects = [s for one in panels(study).by_name.values() for s in one.subjects]
    on_panels = {s.kind for s in subjects if s.name in other}
    for sign in SIGNS:
        first = sign if sign in (NO_WIRE, AT_TRUE_SIZE) else sign.partition(",")[0]
        there = {
            "changeover": "changeover" in roles,
            "shield": "shield" in roles,
            "twisted": "twist" in roles,
            "coaxial": "coax" in roles,
            "goes on": "flag" in kinds,
            "plug and socket": plugs,
            "connector of a box": "connector" in roles and ("plug" in sign) == plugs,
            "terminal": "grounds" in {one.kind for one in others},
            AT_TRUE_SIZE: bool(true),
            "on a panel: lever of three positions": "lever" in other,
            "on a panel: free position": "free" in texts,
            "on a panel: group": "bus" in refs,
            "on a panel: its plate goes on": "panel cut" in refs,
            "contacts of one lever": "one lever" in roles
            or any(ref.startswith("lever ") for ref in refs),
            BRIDGE: bool(reversing(study)),
            "contact: power": bool(pins(study).by_id),
            "contact: shield": bool(pins(study).by_id),
            NO_WIRE: any(text.startswith("Broken line: metal") for text in texts),
        }.get(first, _of_panel(sign, on_panels))
        if there:
            yield sign


def _on_plates(sheets: Sequence[Sheet]) -> tuple[set[str], set[str]]:
    """References and roles on panels with holes as large as they are, and on the others."""
    found: tuple[set[str], set[str]] = (set(), set())
    for sheet in sheets:
        refs = {item.ref for item in sheet.items}
        large = any(ref.startswith("cross ") for ref in refs)
        found[not large].update(refs, {item.role for item in sheet.items})
    return found


def _of_panel(sign: str, kinds: Collection[str]) -> bool:
    """Whether a sign of devices on a panel has just those that there are; true of other signs."""
    shown = set(sign.removeprefix("on a panel: ").split(", "))
    pairs = ({"breaker", "fuse"}, {"switch", "button"})
    return all(shown == pair & set(kinds) for pair in pairs if shown <= pair)


def _texts(study: Study) -> set[str]:
    """All that is written on the other sheets."""
    others = [one for one in plan(study) if one.kind != "legend"]
    return {i.text for one in others for sheet in _bare(study, one) for i in sheet.items if i.text}


def _contents(study: Study, legends: int) -> Iterator[tuple[str, ...]]:
    """The drawings of the set: first and last sheet, title; the title block has the revision."""
    for one in plan(study):
        count = legends if one.kind == "legend" else len(_bare(study, one))
        last = label(one.code, count)
        yield (one.first if count < 2 else f"{one.first} to {last}", _listed(study, one))


def _listed(study: Study, one: Planned) -> str:
    """The title of a drawing, with the sheet of the list of what is on no panel, if it has it."""
    if one.kind != "panel" or OFF not in one.names:
        return one.title
    sheets = _bare(study, one)
    at = next(s for s in sheets if any(item.ref.startswith("off ") for item in s.items))
    listed = OFF_TITLE if len(sheets) < 2 else f"{OFF_TITLE} ({at.title.label})"
    rest = one.title.removesuffix(OFF_TITLE).removesuffix("; ")
    return f"{rest}; {listed}" if rest else listed


def _legend(study: Study) -> Iterator[Planned]:
    def make(code: str) -> Sequence[Sheet]:
        block = replace(words.title_block(study, title), code=code)
        texts = _texts(study)
        steps, crimps = how_to_measure(study), crimp_facts(study)
        contacts = (*contact_facts(study), *probes(texts))
        said = in_plain_words((*steps, *contacts, *crimps))
        first = len(steps) + len(contacts)
        size, symbols = words.paper(study, large=False), _symbols(study)
        signs = tuple(_signs(study))

        short = "; ".join(abbreviations(texts))
        marks = (*mark_notes(study), *((f"{short}.",) if short else ()))
        explained = conventions(study, texts)

        def made(count: int) -> list[Sheet]:
            rows = tuple(_contents(study, count))
            return legend(
                block, size, said[len(steps) : first], symbols, signs=signs, marks=marks,
                conventions=explained,
                contents=rows, ring_out=said[: len(steps)], crimps=said[first:],
            )  # fmt: skip

        return made(len(made(1)))

    title = LEGEND
    yield _planned("legend", title, make)
