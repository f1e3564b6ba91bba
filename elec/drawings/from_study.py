"""All drawings of a system, each with a code of its own, and their cross references.

In: a `Study`. Out: `plan`, what there is to draw, known without drawing; `draw`, the sheets of one
drawing; `drawings`, all of them. A drawing's code is a letter for its kind and its place in the
builder's order (C12: the twelfth circuit), so that one drawing can be made, printed anew and put
into the binder without any other.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import Literal, TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from elec.answers.connect.panel import panels
from elec.answers.connect.pins import pins
from elec.drawings.equipment import bare, groups_by_name, with_spots
from elec.drawings.index import SheetSpot, index, numbered
from elec.drawings.inputs import (
    CircuitSheet,
    CircuitsSheet,
    InterconnectDrawing,
    OneLine,
    PanelFace,
)
from elec.drawings.map_inputs import RouteMap
from elec.drawings.records import circuits, distribution, words
from elec.drawings.records.bench import PICTURE, bench_pages, connectors_by_place, how_to_measure
from elec.drawings.records.equipment import LETTER, EquipmentGroup, groups
from elec.drawings.records.interconnect import interconnect_record, interconnects
from elec.drawings.records.panel import panel_groups, panel_record
from elec.drawings.records.routes import TITLE, has_map, route_record
from elec.drawings.records.together import CircuitGroup, circuit_groups, group_record
from elec.drawings.sheet import Sheet, TitleBlock, label
from elec.drawings.sheets.bench import bench
from elec.drawings.sheets.circuit import circuit
from elec.drawings.sheets.interconnect import interconnect
from elec.drawings.sheets.legend import legend
from elec.drawings.sheets.one_line import one_line
from elec.drawings.sheets.panel import panel
from elec.drawings.sheets.routes import routes
from elec.drawings.sheets.together import together
from elec.study import Study, analysis
from elec.wiring.chains import chains

DrawingKind = Literal[
    "one-line", "interconnect", "circuit", "grounds", "equipment", "wires", "routes", "panel",
    "connector", "legend",
]  # fmt: skip
LETTERS: dict[str, str] = {
    "one-line": "P",
    "interconnect": "N",
    "circuit": "C",
    "grounds": "G",
    "equipment": LETTER,
    "wires": "W",
    "routes": "R",
    "panel": "B",
    "connector": "K",
    "legend": "L",
}
"""Kind of drawing → first letter of its sheets' names. A kind of which there is one drawing counts
its sheets (P1, P2), any other its drawings (C1, C2) and then their sheets (C2.2)."""
SINGLE = ("one-line", "grounds", "wires", "routes", "legend")
_Record = TypeVar(
    "_Record",
    CircuitSheet,
    CircuitsSheet,
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


class Drawings(Struct, frozen=True, kw_only=True):
    """Every drawing of a system, in the order of the sheets."""

    drawings: tuple[Drawing, ...]
    index: dict[str, tuple[SheetSpot, ...]] = field(default_factory=dict)
    """Reference (a conductor's id, a name of equipment) → where it is drawn."""

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
        _one_line,
        _interconnects,
        _circuits,
        _grounds,
        _equipment,
        _wires,
        _routes,
        _panels,
        _connectors,
        _legend,
    ):
        for number, drawing in enumerate(make(study), 1):
            letter = LETTERS[drawing.kind]
            code = letter if drawing.kind in SINGLE else f"{letter}{number}"
            found.append(replace(drawing, code=code))
    return tuple(found)


def draw(study: Study, planned: Planned) -> Drawing:
    """Make one drawing; the second time it is remembered."""
    made = study.result(_made)
    if planned.code not in made:
        made[planned.code] = Drawing(
            kind=planned.kind,
            about=planned.about,
            title=planned.title,
            sheets=tuple(numbered(planned.make(planned.code), planned.code)),
            names=planned.names,
        )
    return made[planned.code]


def _made(study: Study) -> dict[str, Drawing]:
    """Code → the drawing, as far as it was made."""
    del study
    return {}


@analysis
def drawings(study: Study) -> Drawings:
    """Draw everything."""
    done = tuple(draw(study, planned) for planned in plan(study))
    return Drawings(drawings=done, index=index([s for d in done for s in d.sheets]))


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
            return together(_coded(group_record(study, group, _circuit_drawings(study)), code))

        yield replace(_planned("circuit", group.title, make, group.id), names=group.names)


def _circuit(study: Study, name: str) -> Planned:
    """One circuit on a sheet of its own, with the table of its wires."""

    def make(code: str) -> Sequence[Sheet]:
        where = _circuit_drawings(study)
        return circuit(_coded(circuits.circuit_record(study, name, where), code))

    return _planned("circuit", chains(study).by_name[name].title, make, name)


def _grounds(study: Study) -> Iterator[Planned]:
    record = circuits.ground_record(study, 1)
    if record is not None:
        yield _planned("grounds", record.title.title, lambda code: circuit(_coded(record, code)))


def _equipment(study: Study) -> Iterator[Planned]:
    for group in groups(study):

        def make(code: str, group: EquipmentGroup = group) -> Sequence[Sheet]:
            return with_spots(study, bare(study, code, group), _spot(study))

        made = _planned("equipment", group.title, make, group.names[0])
        yield replace(made, names=group.names)


def _spot(study: Study) -> Callable[[str], SheetSpot | None]:
    """Where `wire <id>` or `contact <id>` is drawn: on a circuit's sheet, or beside equipment."""

    def find(target: str) -> SheetSpot | None:
        what, _, ref = target.partition(" ")
        kind: DrawingKind = "circuit" if what == "wire" else "equipment"
        name = ref.partition("/" if what == "wire" else ".")[0]
        for one in plan(study):
            if one.kind == kind and name in (one.about, *one.names):
                sheets = (
                    draw(study, one).sheets
                    if what == "wire"
                    else bare(study, one.code, groups_by_name(study)[name])
                )
                known = _indexed(study)
                if one.code not in known:
                    known[one.code] = index(sheets)
                return next(iter(known[one.code].get(ref, ())), None)
        return None

    return find


@analysis
def _indexed(study: Study) -> dict[str, dict[str, tuple[SheetSpot, ...]]]:
    """Code of a drawing → what stands where on its sheets, as far as somebody asked."""
    del study
    return {}


def _wires(study: Study) -> Iterator[Planned]:
    record = circuits.other_record(study)
    if record is not None:
        yield _planned("wires", record.title.title, lambda code: circuit(_coded(record, code)))


def _panels(study: Study) -> Iterator[Planned]:
    for names in panel_groups(study):

        def make(code: str, names: Sequence[str] = names) -> Sequence[Sheet]:
            where = _circuit_sheets(study)
            return panel([_coded(panel_record(study, name, where), code) for name in names])

        title = panels(study).by_name[names[0]].title
        several = "Breakers, fuses and switches elsewhere"
        made = _planned("panel", title if len(names) == 1 else several, make, names[0])
        yield replace(made, names=names)


def _circuit_drawings(study: Study) -> dict[str, tuple[str, str]]:
    """Circuit → name and id of its drawing's first sheet, known before anything is drawn.

    The power distribution goes by the name of none.
    """
    return {
        name: (one.first, f"sheet-{one.first}")
        for one in plan(study)
        for name in (("",) if one.kind == "one-line" else one.names)
        if one.kind in ("circuit", "one-line")
    }


def _circuit_sheets(study: Study) -> dict[str, tuple[str, str]]:
    """Circuit → name and id of the sheet that it stands on."""
    found: dict[str, tuple[str, str]] = {}
    for one in plan(study):
        if one.kind == "circuit":
            for sheet in draw(study, one).sheets:
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
    """For the bench, place by place; one with a single contact (a coaxial one) needs none."""
    for place, names in connectors_by_place(study).items():
        if len(names) == 1:
            yield _connector(study, names[0])
            continue
        title = f"Connectors, {words.place(study, place)}"

        def make(code: str, names: Sequence[str] = names, title: str = title) -> Sequence[Sheet]:
            pages = (page for name in names for page in bench_pages(study, name))
            return bench(*pages, title=_titled(study, title, code))

        yield replace(_planned("connector", title, make, f"connectors-{place}"), names=names)


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


def _legend(study: Study) -> Iterator[Planned]:
    def make(code: str) -> Sequence[Sheet]:
        block = replace(words.title_block(study, title), code=code)
        return [legend(block, words.paper(study, large=False), (how_to_measure(), PICTURE))]

    title = "Symbols and conventions"
    yield _planned("legend", title, make)
