"""Panels: which breaker, fuse or switch stands in which position, and which positions are free.

In: chains, the builder's `panels:`. Out: `Panels`. What the builder gives no position for is set
out bus by bus in the order of the file, and says so (`given` is False). What is engraved beside
each position is here too.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.connect.headings import fitting
from elec.model.panel import FREE, Panel, span_of
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.chains import SEGMENTS, Chain, Part, chains
from elec.wiring.coils import coil_loads, contacts, limit_switches

Holds = Literal["breakers", "fuses", "switches"]
_HOLDS: Mapping[str, Holds] = {
    "breaker": "breakers", "fuse": "fuses", "switch": "switches", "changeover": "switches",
}  # fmt: skip
MARKS: Mapping[Holds, str] = {"breakers": "CB", "fuses": "F", "switches": "S"}
"""What a panel holds → what its positions begin with where there are several panels."""
PANEL_SWITCHES = ("switch", "button", "changeover")
"""Kinds of switch that a hand reaches; contactors and relays stand elsewhere."""


class Positioned(Struct, frozen=True, kw_only=True):
    """A breaker, fuse or switch that needs a position."""

    name: str
    """Its circuit or feeder, or the switch's own name."""
    holds: Holds
    kind: str
    place: str
    bus: str
    """The bus that it is fed from."""
    text: str
    """Its name as it is engraved beside it; `engraving` is all that is."""
    given_text: bool
    """Whether the builder gave that text."""
    chains: tuple[str, ...]
    """The circuits and feeders that it protects or switches."""
    essential: bool = False
    """Whether all of them are."""


class Position(Struct, frozen=True, kw_only=True):
    """One position of a panel; rows and columns count from 1, from the upper left as you look."""

    panel: str
    row: int
    column: int
    subject: Positioned | None = None
    bus: str = ""
    """Of what stands in it; of a free position, of what stands in its row."""
    given: bool = True
    """Whether the builder laid the panel out."""
    mark: str = ""
    """Of its panel, where there are several."""
    heading: str = ""
    """What the builder writes over it and its neighbours."""

    @property
    def name(self) -> str:
        """The position in short: mark of its panel, row, and the letter of its column.

        In this order no sheet and no zone of one is called so, which have their letter first.

        >>> Position(panel="p", row=2, column=5).name
        '2E'
        >>> Position(panel="p", row=2, column=5, mark="CB1").name
        'CB1-2E'
        """
        return f"{self.mark}-{self.spot}" if self.mark else self.spot

    @property
    def spot(self) -> str:
        """The position on its panel alone."""
        column = self.column
        return f"{self.row}{SEGMENTS[column - 1] if column <= len(SEGMENTS) else f'-{column}'}"

    @property
    def free(self) -> bool:
        """Whether nothing stands in it."""
        return self.subject is None


class PanelLayout(Struct, frozen=True, kw_only=True):
    """One panel with all its positions, row by row."""

    name: str
    title: str
    place: str
    holds: Holds
    columns: int
    positions: tuple[Position, ...]
    given: bool
    """Whether the builder laid it out."""
    mark: str = ""
    """What its positions begin with, where there are several panels."""
    left_over: tuple[Positioned, ...] = ()
    """What belongs at this place and has no position on a panel that is laid out."""

    @property
    def lone(self) -> bool:
        """One thing by itself, which needs no panel and has no position."""
        return not self.given and len(self.positions) == 1

    @property
    def subjects(self) -> tuple[Positioned, ...]:
        """Everything that stands on it."""
        return tuple(p.subject for p in self.positions if p.subject is not None)

    @property
    def engraved(self) -> tuple[Positioned, ...]:
        """What has a text beside it: not a fuse in its wire that nobody gave one."""
        return tuple(
            one for one in self.subjects if one.given_text or not (self.lone and one.kind == "fuse")
        )

    @property
    def rows(self) -> tuple[tuple[Position, ...], ...]:
        """The positions by row."""
        count = max((p.row for p in self.positions), default=0)
        return tuple(
            tuple(p for p in self.positions if p.row == row) for row in range(1, count + 1)
        )


class Panels(Struct, frozen=True, kw_only=True, dict=True):
    """All panels by name, those of the builder first."""

    by_name: Mapping[str, PanelLayout]

    @cached_property
    def _of(self) -> Mapping[tuple[bool, str], Position]:
        return {
            (p.subject.holds == "switches", p.subject.name): p
            for layout in self.by_name.values()
            for p in layout.positions
            if p.subject is not None
        }

    def position(self, name: str, *, switch: bool = False) -> Position | None:
        """Where the device of a circuit or feeder stands, or a switch; None: nowhere."""
        return self._of.get((switch, name))

    def under(self, spot: Position, words: Sequence[str]) -> bool:
        """Whether a position stands under a heading that fits names."""
        layout = self.by_name.get(spot.panel)
        if layout is None:
            return False
        there: dict[str, list[str]] = {p.heading: [] for p in layout.positions if p.heading}
        for one in layout.positions:
            if one.heading and one.subject is not None:
                there[one.heading] += (one.subject.name, one.subject.text, *one.subject.chains)
        return spot.heading in fitting(words, there)

    def free(
        self, holds: Holds, bus: str = "", place: str = "", words: Sequence[str] = ()
    ) -> tuple[Position, ...]:
        """Free positions, the most fitting first: beside others of the same bus, then any.

        Of those the first under a heading that fits the newcomer's name, then under none.

        Args:
            holds: breakers, fuses or switches.
            bus: the bus that the newcomer will hang on; empty: no matter.
            place: only panels at this place; empty: all.
            words: names of the newcomer, by which its heading is looked for; empty: no matter.

        Returns:
            Free positions of the panels that the builder laid out; after them, for a panel that
            nobody laid out, those that the arrangement by bus leaves and the first of a new row.
        """
        layouts = [
            layout
            for layout in self.by_name.values()
            if layout.holds == holds and place in ("", layout.place)
        ]
        found = [p for layout in layouts for p in layout.positions if p.free]
        found += [_new_row(layout) for layout in layouts if not layout.given]

        def order(one: Position) -> tuple[bool, bool, int]:
            foreign = 0 if not words or self.under(one, words) else 2 if one.heading else 1
            return not one.given, bus not in ("", one.bus), foreign

        return tuple(sorted(found, key=order))


def _new_row(layout: PanelLayout) -> Position:
    row = max((p.row for p in layout.positions), default=0) + 1
    return Position(panel=layout.name, row=row, column=1, given=False, mark=layout.mark)


@analysis
def panels(study: Study) -> Panels:
    """Every panel with its positions."""
    subjects = (*_devices(study), *_switches(study))
    placed: set[tuple[str, str]] = set()
    found: dict[str, PanelLayout] = {}
    for name, entry in study.document.panels.items():
        if entry.rows:
            found[name] = _laid_out(study, name, subjects)
            placed |= {(s.holds, s.name) for s in found[name].subjects}
    rest = [s for s in subjects if (s.holds, s.name) not in placed]
    home = _homes(study, rest, found)
    for name, entry in study.document.panels.items():
        own = [s for s in rest if home.get((s.holds, s.name)) == name]
        rest = [s for s in rest if s not in own]
        if not entry.rows:
            title = study.system.title("panels", name)
            found[name] = _by_bus(study, (name, title), own, entry.columns)
        elif own:
            found[name] = _with_left_over(found[name], own)
    for holds, place in dict.fromkeys((s.holds, s.place) for s in rest):
        own = [s for s in rest if (s.holds, s.place) == (holds, place)]
        where = study.system.title("places", place)
        title = f"{holds[:1].upper()}{holds[1:]}, {where}"
        found[f"{place} {holds}"] = _by_bus(study, (f"{place} {holds}", title), own, None)
    return Panels(by_name=_marked(found))


def _homes(
    study: Study, rest: Sequence[Positioned], found: Mapping[str, PanelLayout]
) -> Mapping[tuple[Holds, str], str]:
    """The panel of the builder that each thing without a position belongs on.

    Of several at its place the one with others of its bus, else the first.
    """
    homes: dict[tuple[Holds, str], str] = {}
    for one in rest:
        near = [
            name
            for name, entry in study.document.panels.items()
            if (entry.holds, entry.place) == (one.holds, one.place)
        ]
        alike = [n for n in near if n in found and one.bus in {s.bus for s in found[n].subjects}]
        if near:
            homes[one.holds, one.name] = (alike or near)[0]
    return homes


def _marked(found: Mapping[str, PanelLayout]) -> Mapping[str, PanelLayout]:
    """Each position with the mark of its panel, where there are several; a lone thing has none."""
    several = [layout for layout in found.values() if not layout.lone]
    if len(several) < 2:
        return found
    marked = dict(found)
    for holds, letters in MARKS.items():
        alike = [layout for layout in several if layout.holds == holds]
        for number, layout in enumerate(alike, 1):
            mark = f"{letters}{number}" if len(alike) > 1 else letters
            positions = tuple(replace(p, mark=mark) for p in layout.positions)
            marked[layout.name] = replace(layout, mark=mark, positions=positions)
    return marked


def engraving(study: Study, subject: Positioned) -> str:
    """What is engraved at a position: at a fuse with its rating, which no cap of it shows.

    A breaker has its rating on its button.
    """
    device = sizing(study).devices.get(subject.chains[0])
    if subject.kind != "fuse" or device is None or device.rating_a is None:
        return subject.text
    rating = f"{device.rating_a:g}"
    told = rating in re.findall(r"[\d.]+", subject.text)
    return subject.text if told else f"{subject.text} {rating} A"


def letters_mm(holds: Holds) -> tuple[float, float]:
    """Height of the capitals at each position and of those of headings, in millimetres.

    What the engraver is ordered, what plates and strips at true size are drawn with.
    """
    key = "panel-switch-height" if holds == "switches" else "panel-breaker-height"
    return default(key).value, default("panel-heading-height").value


def heading(study: Study, position: Position, holds: Holds) -> str:
    """What stands over a position and its neighbours: the bus of devices, the builder's words.

    Over the device of a feeder that begins at a source stands that source.
    """
    buses = study.document.buses
    bus = position.bus if holds != "switches" and position.bus in buses else ""
    over = study.system.title("buses", bus) if bus else ""
    if not over and holds != "switches" and position.subject is not None:
        start = chains(study).named(position.subject.chains[0]).source_end
        over = study.system.title("sources", start) if start in study.document.sources else ""
    words = (over, position.heading)
    return " · ".join(word.upper() for word in words if word)


# -- what needs a position -------------------------------------------------------------------------


def _devices(study: Study) -> Iterator[Positioned]:
    """Breakers and fuses bus by bus, those of feeders first."""
    found = [
        _device(study, chain, chain.device)
        for kind in ("feeder", "circuit")
        for chain in chains(study).guarded()
        if chain.kind == kind
        and chain.device is not None
        and chain.device.kind in ("breaker", "fuse")
    ]
    order = {bus: i for i, bus in enumerate(study.document.buses)}
    yield from sorted(found, key=lambda s: order.get(s.bus, len(order)))


def _device(study: Study, chain: Chain, device: Part) -> Positioned:
    given = device.label
    bus = chain.source_end if chain.source_end in study.document.buses else ""
    if chain.kind == "circuit":
        given = study.document.circuits[chain.name].engraving or given
    text = chain.title
    if chain.kind == "feeder":
        text = _feeds(chain, bus)
    return Positioned(
        name=chain.name,
        holds=_HOLDS[device.kind],
        kind=device.kind,
        place=device.place,
        bus=bus,
        text=given or text.replace("-", " ").upper(),
        given_text=bool(given),
        chains=(chain.name,),
        essential=_essential(study, (chain,)),
    )


def _feeds(chain: Chain, bus: str) -> str:
    """What a feeder's device feeds; where no bus stands over it, also from where.

    Two feeders of one bus would else have the same word, or the second that of its source.
    """
    start, stop = (chain.rows[0].parts[k].label for k in (0, -1))
    if not bus:
        return f"{stop} from {start}"
    return stop if chain.rows[0].parts[-1].name != bus else start


def _essential(study: Study, found: Sequence[Chain]) -> bool:
    """Whether each of some circuits is essential, or helps to feed a bus that is.

    The wire of a source may be protected from the bus that it feeds; and without its field an
    alternator feeds none.
    """
    circuits = study.document.circuits
    fed = {end for chain in chains(study).of("feeder") if _feeds_essential(study, chain)
           for end in (chain.source_end, chain.far_end)}  # fmt: skip
    fields = {
        source.field_circuit
        for name, source in study.document.sources.items()
        if source.kind == "alternator" and name in fed
    }
    return all(
        circuits[chain.name].essential or chain.name in fields or _closes_essential(study, chain)
        if chain.name in circuits
        else _feeds_essential(study, chain)
        for chain in found
    )


def _closes_essential(study: Study, chain: Chain) -> bool:
    """Whether a circuit feeds the coil of a relay through which an essential bus is fed."""
    moved = [coil_loads(study)[load] for load in chain.loads if load in coil_loads(study)]
    return any(
        closed.kind == "feeder" and _feeds_essential(study, closed)
        for switch in moved
        for closed, _ in contacts(study).get(switch, ())
    )


def _feeds_essential(study: Study, chain: Chain) -> bool:
    """Whether the bus that a feeder feeds is essential."""
    buses = study.document.buses
    fed = chain.far_end if chain.far_end in buses else chain.source_end
    return fed in buses and buses[fed].essential


def _bus(study: Study, chain: Chain) -> str:
    """The bus that a chain hangs on: where it begins, else where it ends."""
    return chain.source_end if chain.source_end in study.document.buses else chain.far_end


def _switches(study: Study) -> Iterator[Positioned]:
    """Switches in the order in which feeders and circuits name them, then those only declared.

    No hand reaches the limit switches of a motor: they stand on no panel.
    """
    poles: dict[str, list[tuple[Chain, Part]]] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in ("switch", "changeover"):
                poles.setdefault(part.name, []).append((chain, part))
    for name, used in poles.items():
        kind = kind_of(study, used[0][1])
        if kind in PANEL_SWITCHES and name not in limit_switches(study):
            yield _switch(study, name, kind, used)


def kind_of(study: Study, part: Part) -> str:
    """The kind of a switch: as the builder says, else by where it is used."""
    entry = study.document.switches.get(part.name)
    return (entry.kind if entry and entry.kind else None) or part.kind


def _switch(study: Study, name: str, kind: str, used: Sequence[tuple[Chain, Part]]) -> Positioned:
    chain, part = used[0]
    engraved = [
        study.document.circuits[c.name].engraving or ""
        for c, _ in used
        if c.kind == "circuit" and len(used) == 1
    ]
    given = next((text for text in engraved if text), "")
    return Positioned(
        name=name,
        holds="switches",
        kind=kind,
        place=part.place,
        bus=_bus(study, chain),
        text=given or part.label.upper(),
        given_text=bool(given),
        chains=tuple(dict.fromkeys(c.name for c, _ in used)),
        essential=_essential(study, [c for c, _ in used]),
    )


# -- rows ------------------------------------------------------------------------------------------


def _laid_out(study: Study, name: str, subjects: Sequence[Positioned]) -> PanelLayout:
    """A panel as the builder set it out."""
    entry = study.document.panels[name]
    known = {s.name: s for s in subjects if s.holds == entry.holds}
    columns = entry.columns or max(map(len, entry.rows))
    positions: list[Position] = []
    headings = _headings(entry)
    for i, given in enumerate(entry.rows):
        row = [*given, *(FREE for _ in range(columns - len(given)))]
        buses = [known[text].bus for text in row if text in known]
        for k, text in enumerate(row):
            subject = known.get(text)
            bus = subject.bus if subject else _beside(row, k, known) or next(iter(buses), "")
            heading = headings.get((i + 1, k + 1), "")
            spot = Position(panel=name, row=i + 1, column=k + 1, subject=subject, bus=bus)
            positions.append(replace(spot, heading=heading))
    return PanelLayout(
        name=name,
        title=study.system.title("panels", name),
        place=entry.place,
        holds=entry.holds,
        columns=max(columns, *(len(row) for row in entry.rows)),
        positions=tuple(positions),
        given=True,
    )


def _headings(entry: Panel) -> Mapping[tuple[int, int], str]:
    """Row and column → what stands over it."""
    return {
        (row, column): heading
        for heading, spans in entry.headings.items()
        for row, first, last in map(span_of, spans)
        for column in range(first, last + 1)
    }


def _beside(row: Sequence[str], k: int, known: Mapping[str, Positioned]) -> str:
    """The bus of what stands nearest to the left of a position."""
    return next((known[text].bus for text in reversed(row[:k]) if text in known), "")


def _by_bus(
    study: Study, names: tuple[str, str], own: Sequence[Positioned], columns: int | None
) -> PanelLayout:
    """A panel that nobody laid out: each bus begins a row, in the order of the file."""
    name, title = names
    groups: dict[str, list[Positioned]] = {}
    for subject in own:
        groups.setdefault(subject.bus if subject.holds != "switches" else "", []).append(subject)
    most = int(default("panel-columns").value)
    wide = columns or min(most, max((len(g) for g in groups.values()), default=most))
    positions: list[Position] = []
    row = 0
    for bus, group in groups.items():
        for start in range(0, len(group), wide):
            row += 1
            line: list[Positioned | None] = list(group[start : start + wide])
            line += [None] * (wide - len(line))
            positions += [
                Position(
                    panel=name,
                    row=row,
                    column=k + 1,
                    subject=s,
                    bus=s.bus if s else bus,
                    given=False,
                )
                for k, s in enumerate(line)
            ]
    place = own[0].place if own else study.document.panels[name].place
    holds = own[0].holds if own else study.document.panels[name].holds
    return PanelLayout(
        name=name,
        title=title,
        place=place,
        holds=holds,
        columns=wide,
        positions=tuple(positions),
        given=False,
    )


def _with_left_over(layout: PanelLayout, own: Sequence[Positioned]) -> PanelLayout:
    return replace(layout, left_over=tuple(own))


__all__ = [
    "PANEL_SWITCHES", "Holds", "PanelLayout", "Panels", "Position", "Positioned", "heading",
    "kind_of", "letters_mm", "panels",
]  # fmt: skip
