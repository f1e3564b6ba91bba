"""What is to be drawn, as plain frozen records; texts are ready for print, units included.

A drawing knows nothing of the system file: `from_study` fills these records, and tests invent
them. An empty text means that there is nothing to write at that spot.
"""

from typing import Literal

from msgspec import Struct

from elec.drawings.sheet import Size, TitleBlock

DeviceKind = Literal[
    "breaker", "fuse", "limiter", "link", "switch", "closed-contact", "limit-diode", "button",
    "contactor", "relay", "changeover", "changeover-upper", "changeover-off",
    "changeover-off-upper", "dimmer", "diode", "schottky", "shunt", "reversing", "centre-off",
]  # fmt: skip
SourceKind = Literal["battery", "alternator", "external"]
COUNTED = "(1), (2): our numbers; find the maker's."
"""On sheets with a switch of which the file does not give the terminals."""
SIZED = (
    "Wires for: their drop is judged at this: an alternator's rating, a battery's current for 5 "
    "min or their protection's if less. A contactor: by the amps; its start: ask its maker."
)
"""What `wires for` at a feeder means, wherever it is said."""


class DrawnDevice(Struct, frozen=True, kw_only=True):
    """What sits in a feeder or circuit: a symbol, its label and its rating (`5 A`)."""

    kind: DeviceKind
    label: str = ""
    rating: str = ""
    ref: str = ""
    """The part that it is, where other sheets name its zone."""
    position: str = ""
    """On its panel, where that stands apart from the rating."""
    lever: str = ""
    """The switch that it is a pole of."""
    throws: tuple[str, ...] = ()
    """Of a changeover that a hand throws: what stands at its upper throw, its lower one and at the
    common terminal, and the word of the position that it is drawn in, where it has one."""


class Source(Struct, frozen=True, kw_only=True):
    """A source of current; `detail` is the line under it (`18 Ah`, `60 A`)."""

    id: str
    label: str
    kind: SourceKind
    detail: str = ""


class Bar(Struct, frozen=True, kw_only=True):
    """A bus or stud that feeders and circuits hang on, or a changeover that feeders lead to."""

    id: str
    label: str
    kind: Literal["bus", "stud", "changeover"] = "bus"


class DrawnFeeder(Struct, frozen=True, kw_only=True):
    """A heavy conductor from a source or bar to a bar, with its devices from `source` on.

    `source` and `target` are ids of sources or bars.
    """

    id: str
    source: str
    target: str
    devices: tuple[DrawnDevice, ...] = ()
    mark: str = ""
    gauge: str = ""
    length: str = ""
    amps: str = ""
    sized: str = ""
    """`wires for 120 A` where that is more than it carries; `alone 15.0 A` where it only stands
    by and would carry that."""
    cranks: str = ""
    """`start 160 A` where it takes part in that."""
    gauges: tuple[str, ...] = ()
    """Those of its wires, which say how thick it is drawn."""
    pieces: tuple["DrawnWire", ...] = ()
    """What lies before each device and behind the last; one without a mark: they touch. Without
    any, the wires are written together."""
    ahead: int = 0
    """How many devices stand before the longest wire: there they are drawn, in either form."""
    narrow: bool = False
    """Whether what is said of the whole feeder stands over its longest wire, to save width."""


class CircuitRow(Struct, frozen=True, kw_only=True):
    """A circuit as one row: bus, device, wire, switch, load, current, and where it is drawn.

    `bar` may also be the id of a source. `link` is the id of the circuit's own sheet.
    """

    bar: str
    id: str
    device: DrawnDevice | None = None
    switches: tuple[DrawnDevice, ...] = ()
    """One behind the other."""
    less: tuple[str, ...] = ()
    """Its branches that carry less than `amps`: `L4D22 carries 0.08 A`."""
    mark: str = ""
    gauge: str = ""
    length: str = ""
    load: str = ""
    amps: str = ""
    sheet: str = ""
    link: str = ""
    bare: str = ""
    """What is said in place of a device where nothing protects it."""
    stub: str = ""
    """The wire between its bar and its device, which nothing protects."""
    wire: bool = False
    """Whether it is a wire of its own, no circuit: that of a sense or of a light."""
    taps: tuple["CircuitRow", ...] = ()
    """Wires that leave between its last switch and its load."""


class OneLine(Struct, frozen=True, kw_only=True):
    """The power distribution of a whole system."""

    title: TitleBlock
    sources: tuple[Source, ...]
    bars: tuple[Bar, ...]
    feeders: tuple[DrawnFeeder, ...]
    branches: tuple[CircuitRow, ...]
    notes: tuple[str, ...] = ()
    of_feeders: tuple[str, ...] = ()
    """Notes that only a sheet with sources and feeders needs."""
    nominal: str = ""
    """Nominal voltage of the system, which stands over the sources."""
    size: Size = "A3"


NodeKind = Literal[
    "bus", "battery", "alternator", "external", "breaker", "fuse", "limiter", "link", "switch",
    "closed-contact", "limit-diode", "button", "contactor", "relay", "changeover", "dimmer",
    "diode", "schottky", "shunt", "splice", "connector", "equipment", "ground", "chassis", "stud",
    "flag", "note", "shield", "twist", "coax", "bridge", "throw",
]  # fmt: skip


class DrawnWire(Struct, frozen=True, kw_only=True):
    """A wire or core between two nodes; no text at all draws a plain joint (a bus bar, a post)."""

    ref: str = ""
    mark: str = ""
    gauge: str = ""
    colour: str = ""
    length: str = ""
    cable: str = ""
    end: bool = False
    """Only this end is drawn here; the other one is on the sheet of what it goes to."""
    gap: bool = False
    """Nothing joins the two nodes."""
    bonded: bool = False
    """They are joined by metal that is bolted together, without a wire."""


class DrawnBridge(Struct, frozen=True, kw_only=True):
    """What turns a motor: two poles of three terminals and the two wires that cross over."""

    names: tuple[str, str]
    """Of the pole on the −, and of that on the + of the motor; one name for a switch of both."""
    marks: tuple[str, ...]
    """Terminals of the pole on the −, the fed one first, and of that on the +, the grounded first;
    common ones in the middle."""
    wires: tuple[DrawnWire, DrawnWire]
    """From the fed terminal across, and from the grounded one."""
    ends: tuple[tuple[str, str], tuple[str, str]]
    """Ids of what these two wires end at."""
    poles: tuple[str, str] = ("", "")
    """Ids of the two poles, in the order of their names: what other sheets lead to."""
    centred: bool
    """Off in the middle, as a switch is; a relay rests on ground."""


Inner = Literal["", "coil", "coil-diode"]


class Node(Struct, frozen=True, kw_only=True):
    """Something a conductor ends at; the same `ref` in several rows is the same thing.

    For `equipment` and `connector`, `pin` is the contact and `signal` what it carries;
    `connector` names the connector on the equipment. Equipment between two conductors has `pin`
    on its left and `pin_out` on its right. A `flag` names where it goes on; `target` is what its
    sheet and zone are looked up by. A `note` is a text at the end of a row that nothing is joined
    to. `shield`, `twist` and `coax` lie around the conductors that pass through them; a `bridge`
    lets a motor run both ways. A `throw` is a contact that is off in the middle, in two rows: the
    first ends at its common terminal, from both its others (`pin_out`) lead on in a position each
    (`signal_out`); `sublabel` is the word for off. For a splice without a label, `signal` is its
    name where it must be drawn in parts.
    """

    kind: NodeKind
    ref: str
    label: str = ""
    sublabel: str = ""
    connector: str = ""
    pin: str = ""
    signal: str = ""
    pin_out: str = ""
    signal_out: str = ""
    link: str = ""
    contact: str = ""
    """Id of the contact or point that the conductor ends at (`radio.J1.8`)."""
    contact_out: str = ""
    target: str = ""
    lever: str = ""
    """The switch that a contact is a pole of."""
    tapped: str = ""
    """The mark of a wire that leaves at its right post and is drawn by itself: it stands at a dot
    there."""
    thin: bool = False
    """Whether a `bus` is but a stud or a post."""
    narrow: bool = False
    """Whether the name of a ground point is parted into short lines, to save width."""
    inner: Inner = ""
    """A symbol inside the box, between its contacts + and −."""
    bridge: DrawnBridge | None = None
    """Of a `bridge`, which stands in two rows: that of the − and that of the + of its motor."""


class DrawnRow(Struct, frozen=True, kw_only=True):
    """Nodes from left to right with one conductor between each two."""

    nodes: tuple[Node, ...]
    conductors: tuple[DrawnWire, ...]

    def __post_init__(self) -> None:
        """A row has one conductor less than nodes."""
        if len(self.conductors) != len(self.nodes) - 1:
            raise ValueError("a row needs one conductor between each two nodes")


PART = " (part)"
"""Behind the name of a box or plug of which other parts stand elsewhere."""
SPOT = "C0.0/D0"
"""Stands in a fact for sheet and zone of something else, which are written in last."""


def drawn_at(chain: str, ref: str) -> str:
    """What to ask for where a thing is drawn on the sheet of a circuit or feeder."""
    return f"drawn\t{chain}\t{ref}"


class CircuitSheet(Struct, frozen=True, kw_only=True):
    """One circuit, or the wires of one box, as rows."""

    title: TitleBlock
    id: str
    rows: tuple[DrawnRow, ...]
    facts: tuple[tuple[str, str], ...] = ()
    """Short facts under the rows: (what, value)."""
    spots: tuple[str, ...] = ()
    """What the `SPOT`s in the facts lead to, in their order."""
    also: tuple["CircuitSheet", ...] = ()
    """What stands on its strip under a heading of its own: wires that leave it with a fuse."""
    cautions: tuple[str, ...] = ()
    size: Size = "A4"
    document_type: str = "circuit diagram"


class CircuitsSheet(Struct, frozen=True, kw_only=True):
    """Circuits that share sheets."""

    title: TitleBlock
    circuits: tuple[CircuitSheet, ...]
    listed: bool = False
    """Whether each sheet is titled by the circuits on it, since nothing else is common to them."""
    cautions: tuple[str, ...] = ()
    size: Size = "A4"


class GroundWire(Struct, frozen=True, kw_only=True):
    """What lies on a terminal: mark, and what is at the other end."""

    id: str
    mark: str
    text: str
    target: str = ""


class GroundTerminal(Struct, frozen=True, kw_only=True):
    """A terminal of a ground; several that nothing lies on may stand together (`14 to 16`)."""

    number: str
    wires: tuple[GroundWire, ...]
    own: bool = False
    """Whether it is one of several studs, each with its own joint: it has boxes of its own."""


class GroundBox(Struct, frozen=True, kw_only=True):
    """A ground point with its terminals."""

    id: str
    label: str
    detail: str
    terminals: tuple[GroundTerminal, ...]
    ticks: tuple[str, ...] = ()
    """What is ticked when it is done."""


class GroundsDrawing(Struct, frozen=True, kw_only=True):
    """All ground points: what joins them, their terminals, and wires that belong nowhere else."""

    title: TitleBlock
    rows: tuple[DrawnRow, ...]
    boxes: tuple[GroundBox, ...]
    others: tuple[tuple[str, ...], ...] = ()
    """Id of the wire, and the texts of its row."""
    others_title: str = ""
    notes: tuple[str, ...] = ()
    """How what stands on these sheets is to be read."""
    cautions: tuple[str, ...] = ()
    size: Size = "A4"


class InterconnectBox(Struct, frozen=True, kw_only=True):
    """A box of an interconnect sheet."""

    id: str
    label: str
    target: str = ""
    """What its sheet and zone are looked up by."""


class BoxLink(Struct, frozen=True, kw_only=True):
    """All wires and cables between two boxes; `marks` in short, `all_marks` in full."""

    id: str
    a: str
    b: str
    wires: int
    marks: str
    all_marks: str = ""
    a_at: str = ""
    """Connectors or terminals that they leave `a` at."""
    b_at: str = ""
    carries: str = ""
    """What runs in them."""
    plugs: tuple[str, ...] = ()
    """Connectors between harnesses that they pass."""
    plug_targets: tuple[str, ...] = ()
    """What the sheets of these are looked up by."""
    targets: tuple[str, str] = ("", "")
    """What the sheets and zones of both ends are looked up by."""
    shields: str = ""
    """Of what kind their cables are."""


class InterconnectDrawing(Struct, frozen=True, kw_only=True):
    """Boxes and what joins each two of them."""

    title: TitleBlock
    id: str
    units: tuple[InterconnectBox, ...]
    links: tuple[BoxLink, ...]
    beside: tuple[BoxLink, ...] = ()
    """Links of boxes at the end of a line, which are drawn as rows with what they carry."""
    beside_units: tuple[InterconnectBox, ...] = ()
    """The boxes at their ends."""
    notes: tuple[str, ...] = ()
    size: Size = "A3"
    smaller: Size | None = None
    """Taken where everything fits on one such sheet."""


class PanelPosition(Struct, frozen=True, kw_only=True):
    """A position of a panel: what is engraved at it, and its rating; empty where it is free."""

    name: str
    column: int
    text: str = ""
    rating: str = ""
    kind: str = ""
    """breaker, fuse, switch, button or changeover; empty where it is free."""
    bus: str = ""
    """What stands over it and its neighbours: the name of their bus, a heading."""
    heavy: bool = False
    """Whether its bus is essential: the bracket over it is thick."""
    lever: tuple[str, ...] = ()
    """The words at a lever of three positions from the top; empty where they are not known."""
    behind: tuple[str, ...] = ()
    """The wires on it, in lines, as they are seen from behind."""
    terminals: tuple[tuple[tuple[str, tuple[str, ...]], ...], ...] = ()
    """Of a switch pole by pole its terminals from the top, each with its wires; empty: not told."""
    bar: str = ""
    """The bus that it is bolted to; empty where it is wired, or a switch."""
    there: tuple[str, ...] = ()
    """Where the wires of its terminals stand, for a view that has no room for all of them."""
    ref: str = ""


ONE_POLE = "No poles said: one."
"""Beside the table of switches, where it has room."""
NO_HOLE = "Dashed ring: no hole yet."
"""In the notes of a panel with free positions, where it has room: each of them says *free*."""
A_RIGHT = "from behind A is at the right"
"""In the notes of a panel that is seen from behind on its own sheet."""


class PanelFace(Struct, frozen=True, kw_only=True):
    """A panel as one looks at it, row by row from the top, and the table of what stands on it.

    Without rows it is a list of what stands on no panel.
    """

    title: TitleBlock
    id: str
    columns: int
    rows: tuple[tuple[PanelPosition, ...], ...]
    heads: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    shorter: tuple[tuple[str, ...], ...] = ()
    """The same rows with less in some cells, for a sheet that has no room for all of it."""
    refs: tuple[str, ...] = ()
    """What each row of the table is about; empty: the position at its begin."""
    notes: tuple[str, ...] = ()
    of_plate: tuple[str, ...] = ()
    """Those of the notes that are said of the plate, not of its table."""
    missing: str = ""
    """What has no position on it."""
    warning: str = ""
    """What stands large at the picture: that nobody laid it out."""
    across: tuple[str, ...] = ()
    """Where the holes of each column are, in mm; empty: not given."""
    down: tuple[str, ...] = ()
    """Where those of each row are."""
    measures: str = ""
    """From where these are measured, how large the plate and its holes are."""
    sits: str = ""
    """The place that it sits in."""
    plate: tuple[float, ...] = ()
    """Spacing of its columns and rows and what is beyond the outer holes, mm; empty: not known."""
    times: float = 0.0
    """How many times as large as it is it is drawn; 0: as its words have room."""
    aside: bool = False
    """Whether its measures stand among the notes, and its table is set close: it takes all room."""
    holes: tuple[float, ...] = ()
    """Diameters of its holes and of those of its buttons, mm; empty: not known."""
    letters: tuple[float, ...] = ()
    """Capitals of its words and of its headings as they are ordered, mm."""
    rear: bool = False
    """Whether it is laid out, so that it can be drawn from behind, too."""
    bars: tuple[tuple[str, str], ...] = ()
    """Bus → its name, for a view with the bars of several."""
    behind: tuple[str, ...] = ()
    """What is said under a view from behind: which wires end on each bar, what is not known."""
    rear_at: str = ""
    """The sheet that has its view from behind; empty: its own, where there is room."""
    size: Size = "A4"
    larger: Size | None = None
    """Paper twice as large, for a plate that has room at 1:1 only there."""


PinState = Literal["used", "spare", "double", "unwired"]
"""`unwired`: the builder names the contact and no wire reaches it."""


TERMINALS = "terminals"
"""The type of screws and tabs, which have no face."""
Carries = Literal["power", "ground", "signal", "shield", ""]


class DrawnPin(Struct, frozen=True, kw_only=True):
    """A contact: what it carries, its wire and where that goes."""

    name: str
    state: PinState = "spare"
    signal: str = ""
    mark: str = ""
    gauge: str = ""
    goes_to: str = ""
    carries: Carries = ""
    """What kind of thing its wire carries; empty without a wire."""


class Contact(Struct, frozen=True, kw_only=True):
    """Where a contact lies on the mating face of the plug (pins), mm from its middle, y up."""

    pin: str
    x_mm: float
    y_mm: float
    radius_mm: float | None = None
    """Of its hole in the insert; None: as large as the spacing allows."""


class Shell(Struct, frozen=True, kw_only=True):
    """The shell of a D-subminiature connector, mm: half widths at its wide and narrow side."""

    flange_width_mm: float
    flange_height_mm: float
    screw_spacing_mm: float
    wide_half_mm: float
    narrow_half_mm: float
    height_mm: float


class Arrangement(Struct, frozen=True, kw_only=True):
    """The face of a connector type.

    `schematic` is True where the contacts' places are not published here: then contacts stand in
    rows or rings in the order of their names, and the sheet says so.
    """

    name: str
    shape: Literal["d-sub", "rectangular", "circular"]
    contacts: tuple[Contact, ...]
    schematic: bool = True
    shell: Shell | None = None
    half_mm: tuple[float, float] | None = None
    """Half width and half height of the face; None: drawn around the contacts."""
    source: str = ""
    """The drawing that the places come from, where it is the builder's own."""


class ConnectorFace(Struct, frozen=True, kw_only=True):
    """A connector with its pins; `gender` is that of the half which is drawn."""

    title: TitleBlock
    id: str
    name: str
    equipment: str
    arrangement: Arrangement
    gender: Literal["pin", "socket", ""]
    half: str = ""
    """Which half this is, in words (`harness half`, `half on the equipment`)."""
    pins: tuple[DrawnPin, ...] = ()
    cautions: tuple[str, ...] = ()
    size: Size = "A4"


class BenchRow(Struct, frozen=True, kw_only=True):
    """A wire at a contact, as it is read while crimping and ringing out."""

    contact: str
    connector: str = ""
    """What connector it is on, where several share a table."""
    signal: str = ""
    wire: str = ""
    conductor: str = ""
    """Id of the wire."""
    target: str = ""
    """What the sheet and zone of its other end are looked up by."""
    gauge: str = ""
    colour: str = ""
    goes_to: str = ""
    length: str = ""
    shield: str = ""
    reads: str = ""
    """What an ohmmeter reads with everything unplugged."""
    most: str = ""
    """The greatest reading that passes; empty where no resistance is read."""
    built: str = "☐"
    """A box, ticked and with the state where anything is done."""
    across: str = ""
    """A text over all columns behind the contact, in place of them."""


class BenchPage(Struct, frozen=True, kw_only=True):
    """One half of a connector for the bench: its faces, its wires, and what to measure."""

    face: ConnectorFace
    rows: tuple[BenchRow, ...]
    facts: tuple[tuple[str, str], ...] = ()
    """What, and the text: contacts, crimp test, spares, how to measure."""
    claims: tuple[str, ...] = ()
    """Contacts that two wires claim, in words; where there are any, no face is drawn."""
