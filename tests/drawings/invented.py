"""Invented systems for the drawing tests: a small, a middle and a large one, and random ones."""

import random
from typing import Any, get_args

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.inputs import (
    Bar,
    CircuitRow,
    CircuitSheet,
    DrawnDevice,
    DrawnFeeder,
    DrawnRow,
    DrawnWire,
    Node,
    OneLine,
    Source,
    SourceKind,
)
from elec.drawings.sheet import Size, TitleBlock

TITLE = TitleBlock(owner="Foxglove", number="EL-1", revision="B", date="2026-03-14")
NOTES = (
    "Contacts are drawn as they are with all power off.",
    "Wire texts: mark, gauge, length of the conductor.",
    "Amps: the largest steady current in any phase of flight.",
)
LOADS = (
    "landing light", "taxi light", "navigation lights", "strobe lights", "pitot heat",
    "fuel boost pump", "flap motor", "panel lights", "12 V outlet", "alternator field",
    "navigator", "second radio", "audio panel", "pitch servo", "roll servo", "traffic receiver",
    "large display", "engine monitor", "first radio", "transponder", "pitch trim", "flood light",
    "cabin light", "clock", "locator beacon", "bilge pump", "seat heater, left",
    "seat heater, right", "water rudder retract motor", "cabin fan",
)  # fmt: skip


def branch(n: int, bar: str, *, switched: bool) -> CircuitRow:
    return CircuitRow(
        bar=bar,
        id=f"c{n}",
        device=DrawnDevice(
            kind="breaker", label=f"CB{n}", rating=f"{(1, 2, 3, 5, 7.5, 10, 15)[n % 7]} A"
        ),
        switches=(DrawnDevice(kind="switch", label=f"S{n}"),) if switched else (),
        mark=f"L{n}A{20 - 2 * (n % 3)}",
        gauge=f"AWG {20 - 2 * (n % 3)}",
        length=f"{0.4 + 0.37 * (n % 12):.2f} m",
        load=LOADS[n % len(LOADS)],
        amps=f"{0.3 + 0.7 * (n % 11):.1f}",
        sheet=str(2 + n),
    )


SOURCES = (
    Source(id="battery", label="Main battery", kind="battery", detail="14 V 18 Ah"),
    Source(id="alternator", label="Main alternator", kind="alternator", detail="60 A"),
    Source(id="standby", label="Standby alternator", kind="alternator", detail="20 A"),
    Source(id="ground-power", label="Ground power", kind="external", detail="14 V"),
)
BARS = (
    Bar(id="stud", label="firewall stud", kind="stud"),
    Bar(id="main", label="MAIN BUS"),
    Bar(id="avionics", label="AVIONICS BUS"),
    Bar(id="essential", label="ESSENTIAL BUS"),
    Bar(id="hot", label="BATTERY BUS"),
)


def feeder(n: int, source: str, target: str, *devices: DrawnDevice) -> DrawnFeeder:
    return DrawnFeeder(
        id=f"f{n}",
        source=source,
        target=target,
        devices=devices,
        mark=f"P{n}A{6 + 2 * (n % 4)}",
        gauge=f"AWG {6 + 2 * (n % 4)}",
        length=f"{0.3 * n:.1f} m",
        amps="32 A" if n % 2 else "",
    )


FEEDERS = (
    feeder(1, "battery", "stud", DrawnDevice(kind="contactor", label="master"),
           DrawnDevice(kind="shunt", label="SH1", rating="100 A")),
    feeder(2, "alternator", "stud", DrawnDevice(kind="limiter", label="CL1", rating="60 A"),
           DrawnDevice(kind="shunt", label="SH2", rating="60 A")),
    feeder(3, "ground-power", "stud", DrawnDevice(kind="contactor", label="ground power")),
    feeder(4, "stud", "main"),
    feeder(5, "main", "avionics", DrawnDevice(kind="breaker", label="CB40", rating="25 A"),
           DrawnDevice(kind="relay", label="avionics")),
    feeder(6, "main", "essential", DrawnDevice(kind="breaker", label="CB41", rating="30 A"),
           DrawnDevice(kind="schottky", label="D1")),
    feeder(7, "hot", "essential", DrawnDevice(kind="fuse", label="F2", rating="20 A"),
           DrawnDevice(kind="switch", label="essential feed")),
    feeder(8, "standby", "essential", DrawnDevice(kind="limiter", label="CL2", rating="20 A")),
    feeder(9, "battery", "hot", DrawnDevice(kind="link", label="F1", rating="30 A")),
)  # fmt: skip


def system(circuits: int, size: Size = "A3") -> OneLine:
    """The same four sources and four buses with a number of circuits."""
    bars = ("main", "main", "avionics", "essential", "main", "hot", "essential", "avionics")
    return OneLine(
        title=TITLE,
        sources=SOURCES,
        bars=BARS,
        feeders=FEEDERS,
        branches=tuple(
            branch(n, bars[n % len(bars)], switched=n % 3 == 0) for n in range(1, circuits + 1)
        ),
        notes=NOTES,
        size=size,
    )


def random_system(seed: int, size: Size = "A3") -> OneLine:
    """Any topology: rings, several feeders to one bus, sources that feed several things."""
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    kinds = get_args(SourceKind)
    sources = tuple(
        Source(id=f"s{i}", label=f"Source {i}", kind=rnd.choice(kinds), detail="14 V")
        for i in range(rnd.randint(1, 4))
    )
    bars = tuple(
        Bar(id=f"b{i}", label=f"BUS {i}", kind=rnd.choice(("bus", "bus", "stud")))
        for i in range(rnd.randint(1, 8))
    )
    ends = [s.id for s in sources] + [b.id for b in bars]
    devices = ("breaker", "fuse", "limiter", "switch", "contactor", "diode", "shunt", "changeover")
    feeders = tuple(
        feeder(
            i + 1,
            rnd.choice(ends),
            rnd.choice(ends[len(sources) :]) if rnd.random() < 0.9 else rnd.choice(ends),
            *(
                DrawnDevice(kind=rnd.choice(devices), label=f"D{i}{k}", rating="30 A")  # type: ignore[arg-type]
                for k in range(rnd.randint(0, 3))
            ),
        )
        for i in range(rnd.randint(1, 14))
    )
    count = rnd.randint(0, 40)
    branches = tuple(
        branch(n, rnd.choice(ends), switched=rnd.random() < 0.4) for n in range(1, count + 1)
    )
    return OneLine(
        title=TITLE, sources=sources, bars=bars, feeders=feeders, branches=branches, size=size
    )


# --- circuits ---------------------------------------------------------------------------------


def wire(n: int, colour: str = "white", length: str = "1.20 m") -> DrawnWire:
    return DrawnWire(
        ref=f"w{n}", mark=f"L3{chr(64 + n)}20", gauge="AWG 20", colour=colour, length=length
    )


BUS = Node(kind="bus", ref="main", label="MAIN BUS")
BREAKER = Node(kind="breaker", ref="nav", label="NAV", sublabel="7.5 A")
SWITCH = Node(kind="switch", ref="nav-lights", label="nav lights")
SPLICE = Node(kind="splice", ref="splice", label="SP3", sublabel="wing root")
JOINT = DrawnWire()


def equipment(name: str, pin: str, signal: str) -> Node:
    return Node(
        kind="equipment", ref=name, label=name.replace("-", " "), sublabel="wing tip",
        connector="J1", pin=pin, signal=signal,
    )  # fmt: skip


def through(name: str, pin: str) -> Node:
    return Node(kind="connector", ref=name, label=name, sublabel="wing root", pin=pin)


def ground(name: str = "G1") -> Node:
    return Node(kind="ground", ref=name, label=name, sublabel="panel")


LIGHTS = CircuitSheet(
    title=TitleBlock(
        owner="Foxglove", title="Navigation lights", number="EL-12", date="2026-03-14"
    ),
    id="nav",
    rows=(
        DrawnRow(
            nodes=(
                BUS,
                BREAKER,
                SWITCH,
                SPLICE,
                through("J12", "C"),
                equipment("left-light", "1", "power"),
            ),
            conductors=(JOINT, wire(1), wire(2), wire(3), wire(4, length="4.10 m")),
        ),
        DrawnRow(
            nodes=(ground(), through("J12", "B"), equipment("left-light", "2", "ground")),
            conductors=(wire(5, "black"), wire(6, "black")),
        ),
        DrawnRow(
            nodes=(SPLICE, through("J13", "C"), equipment("right-light", "1", "power")),
            conductors=(wire(7), wire(8)),
        ),
        DrawnRow(
            nodes=(ground(), through("J13", "B"), equipment("right-light", "2", "ground")),
            conductors=(wire(9, "black"), wire(10, "black")),
        ),
        DrawnRow(nodes=(SPLICE, equipment("tail-light", "1", "power")), conductors=(wire(11),)),
        DrawnRow(
            nodes=(ground("G5"), equipment("tail-light", "2", "ground")),
            conductors=(wire(12, "black"),),
        ),
    ),
    facts=(("device", "7.5 A breaker; the load needs 5.1 A or more"), ("drop", "0.31 V of 0.50 V")),
    cautions=("Battery off and unplugged before work on any wire.",),
)


def random_circuit(seed: int, size: Size = "A4") -> CircuitSheet:
    """A circuit with any number of devices, splices, connectors, loads and returns."""
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    count = iter(range(1, 400))

    def run(*nodes: Node) -> DrawnRow:
        wires = tuple(
            JOINT
            if k == 0 and nodes[0].kind == "bus"
            else wire(next(count) % 20 + 1, length="2.2 m")
            for k in range(len(nodes) - 1)
        )
        fresh = tuple(
            w if w is JOINT else DrawnWire(ref=f"x{next(count)}", mark=w.mark, gauge=w.gauge,
                                           colour=w.colour, length=w.length)
            for w in wires
        )  # fmt: skip
        return DrawnRow(nodes=nodes, conductors=fresh)

    rows: list[DrawnRow] = []
    loads = rnd.randint(1, 12)
    spliced = loads > 1
    trunk = [BUS, BREAKER, *([SWITCH] if rnd.random() < 0.6 else [])]
    trunk += [Node(kind="relay", ref="relay", label="relay", sublabel="panel")] * (
        rnd.random() < 0.3
    )
    for i in range(loads):
        box = f"load-{rnd.randint(0, loads)}"
        between = [through(f"J{rnd.randint(1, 4)}", str(i + 1)) for _ in range(rnd.randint(0, 2))]
        start = (trunk + [SPLICE] * spliced) if i == 0 else [SPLICE] if spliced else trunk
        rows.append(run(*start, *between, equipment(box, str(2 * i + 1), "power")))
        if rnd.random() < 0.8:
            back = [through(f"J{rnd.randint(1, 4)}", f"R{i}")] * (rnd.random() < 0.5)
            rows.append(
                run(
                    ground(f"G{rnd.randint(1, 2)}"), *back, equipment(box, str(2 * i + 2), "ground")
                )
            )
    title = TitleBlock(owner="Foxglove", title=f"Circuit {seed}", number="EL-99")
    return CircuitSheet(title=title, id=f"c{seed}", rows=tuple(rows), size=size)


DEVICES = (
    "breaker", "fuse", "limiter", "link", "switch", "button", "contactor", "relay", "changeover",
    "diode", "schottky", "shunt",
)  # fmt: skip


# --- hostile texts ----------------------------------------------------------------------------

WORDS = (
    "landing", "Überlicht", "naïve", "電気", "Ω", "µA", "left-hand", "<b>&amp;", "$x$", "Жук",
    "wing", "tip", "long", "word-with-many-hyphens",
)  # fmt: skip
KEPT = frozenset({
    "id", "ref", "kind", "source", "target", "bar", "size", "link", "state", "name", "gender",
    "shape", "code", "carries", "inner", "lever",
})  # fmt: skip


def messy(record: Any, rnd: random.Random) -> Any:
    """The same record with half of its texts empty, long or in another script."""
    if isinstance(record, tuple):
        return tuple(messy(part, rnd) for part in record)
    if not isinstance(record, Struct):
        return record
    changed: dict[str, Any] = {}
    for name in record.__struct_fields__:
        value = getattr(record, name)
        if name in KEPT:
            continue
        if isinstance(value, str):
            if rnd.random() < 0.5:
                changed[name] = " ".join(rnd.choices(WORDS, k=rnd.randint(0, 9)))
        elif isinstance(value, (tuple, Struct)):
            changed[name] = messy(value, rnd)
    return replace(record, **changed)
