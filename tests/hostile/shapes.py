"""Valid systems of any shape: sources, buses, feeders, loads, wires, places thrown together.

The same number gives the same system for ever. Nothing about them is sensible; all of it can be
written, and each is answered or refused in words like any other text.
"""

import random
from collections.abc import Sequence
from typing import Any

from elec.results import TABLES
from elec.standards import AWGS
from elec.study import Study
from elec.write.values import bare
from tests import plain

Entry = dict[str, Any]
PHASES = ("start", "taxi", "climb", "cruise", "loiter", "approach")
BATTERIES = ("lead-acid", "lithium-iron-phosphate")


class Thrown:
    """One system as it is thrown together."""

    batteries: tuple[int, ...] = (0, 1, 1, 1, 1, 2)
    alternators: tuple[int, ...] = (0, 1, 1, 2)
    buses_at_least = 1
    ring = 0.3
    """The share with a feeder that closes a ring."""

    def __init__(self, number: int) -> None:
        """Throw everything that the number says."""
        self.dice = random.Random(number)  # noqa: S311 - chance that can be repeated
        self.volts = self.dice.choice((14, 28))
        self.data: dict[str, Any] = {}
        self.flight()
        self.map()
        self.power()
        self.loads()
        self.signals()
        self.work()

    def some(self, share: float) -> bool:
        """Whether something is there that is there in so many systems."""
        return self.dice.random() < share

    def amps(self, least: float = 0.02, most: float = 20) -> str:
        """A current, small ones as often as large ones."""
        return f"{least * (most / least) ** self.dice.random():.3g} A"

    def place(self) -> str:
        """Any place."""
        return str(self.dice.choice(list(self.data["places"])))

    def flight(self) -> None:
        """Nominal voltage, structure and phases."""
        dice = self.dice
        about: Entry = {"name": "Thrown", "nominal": f"{self.volts} V"}
        if self.some(0.5):
            about["return"] = dice.choice(("wired", "airframe"))
        if self.some(0.5):
            about["structure"] = dice.choice(("aluminium", "steel-tube", "wood", "glass", "carbon"))
        for key, texts in {
            "units": ("feet", "metric"), "ambient": ("-10 °C", "35 °C", "60 °C"),
            "ceiling": ("6000 ft", "18000 ft"), "wire": ("etfe-tin", "pvc"),
            "electrically-dependent": ("yes", "no"),
        }.items():  # fmt: skip
            if self.some(0.4):
                about[key] = dice.choice(texts)
        if self.some(0.3):
            about["conditions"] = dice.choice((["day"], ["night"], ["day", "night"]))
        self.data["system"] = about
        names = [name for name in PHASES if self.some(0.6)]
        self.phases = names
        if names:
            self.data["phases"] = {name: self.phase(name) for name in names}

    def phase(self, name: str) -> Entry:
        """How long, and what the engine does."""
        speed = "cranking" if name == "start" else f"{self.dice.randrange(700, 2800, 50)} rpm"
        lasts = f"{self.dice.randint(5, 30)} s" if name == "start" else (
            f"{self.dice.choice((1, 4, 15, 90, 300))} min")  # fmt: skip
        entry: Entry = {"lasts": lasts, "engine": speed}
        if self.some(0.1):
            entry["engine"] = "stopped"
        return entry

    def map(self) -> None:
        """Places joined by a random tree of ways, sometimes with a ring; zones and a hole."""
        dice = self.dice
        names = [f"p{n}" for n in range(dice.randint(1, 8))]
        self.data["places"] = {name: self.spot() for name in names}
        ways: list[Entry] = [
            {"between": [dice.choice(names[:k]), name]} for k, name in enumerate(names) if k
        ]
        if len(names) > 3 and self.some(0.3):
            one, two = dice.sample(names, 2)
            if not any({one, two} == set(way["between"]) for way in ways):
                ways.append({"between": [one, two]})
        for way in ways:
            if self.some(0.9):
                way["length"] = f"{dice.uniform(0.3, 25):.1f} ft"
            if self.some(0.3):
                way["bundles"] = dice.randint(1, 4)
        if ways:
            self.data["ways"] = ways
        if self.some(0.3):
            places = dice.sample(names, dice.randint(1, len(names)))
            self.data["zones"] = {"z": {"places": places, "closes": "before it flies"}}

    def spot(self) -> Entry:
        """One place."""
        entry: Entry = {}
        if self.some(0.3):
            entry["ambient"] = f"{self.dice.randint(-20, 110)} °C"
        if self.some(0.3):
            entry["reach"] = self.dice.choice(("yes", "no"))
        return entry

    def power(self) -> None:
        """Sources, buses in any tree or ring of feeders, contactors, grounds."""
        dice = self.dice
        data = self.data
        batteries = [f"b{n}" for n in range(dice.choice(self.batteries))]
        alternators = [f"a{n}" for n in range(dice.choice(self.alternators))]
        data["sources"] = {name: self.battery() for name in batteries} | {
            name: self.alternator() for name in alternators
        }
        self.buses = [f"bus{n}" for n in range(dice.randint(self.buses_at_least, 5))]
        data["buses"] = {name: self.bus() for name in self.buses}
        data["switches"] = {}
        feeders = [self.feeder(name, dice.choice(self.buses)) for name in batteries]
        feeders += [self.feeder(dice.choice(self.buses), name) for name in alternators]
        feeders += [
            self.feeder(dice.choice(self.buses[:k]), name) for k, name in enumerate(self.buses) if k
        ]
        if len(self.buses) > 2 and self.some(self.ring):
            feeders.append(self.feeder(*dice.sample(self.buses, 2)))
        if feeders:
            data["feeders"] = [
                {"name": f"feeder {n}", **entry} for n, entry in enumerate(feeders, 1)
            ]
        if self.some(0.7):
            data["grounds"] = {
                f"g{n}": {"place": self.place(), "kind": dice.choice(("block", "stud"))}
                for n in range(dice.randint(1, 3))
            }

    def battery(self) -> Entry:
        """A battery of one kind or the other, more or less of it known."""
        dice = self.dice
        entry: Entry = {"kind": dice.choice(BATTERIES), "place": self.place()}
        entry["capacity"] = f"{dice.choice((2, 7, 18, 40))} Ah"
        if self.some(0.6):
            entry["resistance"] = f"{dice.choice((4, 9, 30, 120))} mΩ"
        if entry["kind"] == "lead-acid" and self.some(0.5):
            entry["rate"] = dice.choice(("1 h", "10 h", "20 h"))
        return entry

    def alternator(self) -> Entry:
        """An alternator, more or less of it known."""
        dice = self.dice
        held = self.volts * dice.uniform(1.0, 1.04)
        entry: Entry = {"kind": "alternator", "place": self.place(), "setpoint": f"{held:.1f} V"}
        most = dice.choice((8, 20, 40, 60, 100))
        if self.some(0.8):
            entry["output"] = {"900 rpm": f"{most * 0.2:g} A", "2400 rpm": f"{most} A"}
        if "output" not in entry or self.some(0.5):
            entry["rating"] = f"{most} A"
        if self.some(0.4):
            entry["overvoltage-protection"] = dice.choice(("yes", "no"))
        return entry

    def bus(self) -> Entry:
        """One bus."""
        entry: Entry = {"place": self.place()}
        if self.some(0.3):
            entry["essential"] = "yes"
        if self.some(0.3):
            entry["warning"] = f"{self.volts * 0.9:.1f} V"
        return entry

    def feeder(self, start: str, stop: str) -> Entry:
        """From one to another, with or without a device, a switch, a contactor, a diode."""
        dice = self.dice
        entry: Entry = {"from": start, "to": stop}
        kind = dice.choice(("breaker", "fuse", "limiter", "limiter", "link", ""))
        if kind:
            known = dice.choice(("auto", f"{dice.choice((10, 20, 40, 60))} A"))
            entry[kind] = {"gauge": "AWG 14"} if kind == "link" else known
        else:
            entry["unprotected"] = "short, and booted at both ends"
        if self.some(0.3):
            entry["gauge"] = f"AWG {dice.choice(('2', '6', '10'))}"
        if self.some(0.3):
            name = f"k{len(self.data['switches'])}"
            entry["contactor"] = name
            self.data["switches"][name] = self.contactor()
        elif self.some(0.2):
            entry["switch"] = f"s-{start}-{stop}"
        if self.some(0.1):
            entry["diode"] = "schottky"
        if self.some(0.2):
            entry["length"] = f"{dice.uniform(0.5, 9):.1f} ft"
        return entry

    def contactor(self) -> Entry:
        """A contactor with more or less of its coil."""
        entry: Entry = {"kind": "contactor", "place": self.place()}
        if self.some(0.6):
            entry["rating"] = f"{self.dice.choice((30, 80, 300))} A"
        if self.some(0.6):
            entry["coil"] = {"draw": "0.8 A", "switch": "master"} if self.some(0.7) else "0.7 A"
        return entry

    def loads(self) -> None:
        """Equipment, and the circuits that feed it: alone, several, spliced, from load to load."""
        dice = self.dice
        names = [f"load{n}" for n in range(dice.randint(0, 14))]
        self.names = names
        if not names:
            return
        self.data["equipment"] = {name: self.load(name) for name in names}
        circuits: dict[str, Entry] = {}
        left = list(names)
        while left:
            fed = [left.pop() for _ in range(min(len(left), dice.choice((1, 1, 1, 2, 3))))]
            circuits[f"c-{fed[0]}"] = self.circuit(fed)
        self.data["circuits"] = circuits

    def load(self, name: str) -> Entry:
        """What it draws, when, and how well that is known."""
        dice = self.dice
        entry: Entry = {"place": self.place()}
        if self.some(0.15):
            entry["modes"] = {
                "low": {"draw": self.amps(most=2), "on": "always"},
                "high": {"draw": self.amps(1, 8), "on": self.when()},
            }
        elif self.some(0.93):
            kind = dice.randrange(4)
            ohms = self.volts / float(self.amps().removesuffix(" A"))
            watts = f"{self.volts * float(self.amps().removesuffix(' A')):.3g} W"
            entry["draw"] = (self.amps(), self.amps(), watts, f"{ohms:.3g} Ω")[kind]
            entry["on"] = self.when()
        for key, texts in {
            "essential": ("yes", "no"), "basis": ("measured", "typical", "estimate", "data sheet"),
            "minimum": (f"{self.volts * 0.75:.1f} V",), "shed": ("at once", "never", "5 min"),
            "when": ("day", "night", "always"), "mass": ("0.4 kg",),
        }.items():  # fmt: skip
            if self.some(0.15):
                entry[key] = dice.choice(texts)
        if entry.get("essential") == "yes":
            entry.pop("shed", None)
        if "draw" in entry and self.some(0.2):
            entry["inrush"] = {"factor": dice.choice((2, 6)), "lasts": "80 ms"}
        if self.some(0.1) and len(self.data.get("equipment", ())) == 0 and name != "load0":
            entry["backup"] = "load0"
        if self.some(0.3):
            entry["connectors"] = {"J1": self.connector()}
        return entry

    def connector(self) -> Entry:
        """A plug of nine contacts, with power and ground among them."""
        pins = dict(zip("3456", ("audio", "audio low", "data a", "data b"), strict=True))
        kept = {k: v for k, v in pins.items() if self.some(0.7)}
        return {
            "type": "dsub-9", "contacts": self.dice.choice(("pin", "socket")),
            "pins": {"1": "power", "2": "ground", **kept},
        }  # fmt: skip

    def when(self) -> Any:
        """When something is on."""
        dice = self.dice
        if not self.phases or self.some(0.3):
            return "always"
        kind = dice.randrange(4)
        if kind == 0:
            return dice.choice(self.phases)
        if kind == 1:
            a, b = sorted(dice.choices(range(len(self.phases)), k=2))
            return f"{self.phases[a]}..{self.phases[b]}" if a < b else self.phases[a]
        if kind == 2:
            shares = {n: f"{dice.randint(1, 100)} %" for n in self.phases if self.some(0.6)}
            return shares or "never"
        return dict.fromkeys(self.phases[:2], "4 s")

    def circuit(self, fed: Sequence[str]) -> Entry:
        """Bus, device, switch and way of what it feeds."""
        dice = self.dice
        entry: Entry = {"bus": dice.choice(self.buses)}
        kind = dice.choice(("breaker", "breaker", "fuse"))
        entry[kind] = dice.choice(("auto", "auto", "2 A", "5 A", "15 A"))
        entry["feeds"] = fed[0] if len(fed) == 1 else list(fed)
        if self.some(0.4):
            entry["switch"] = f"s-{fed[0]}"
        if self.some(0.2):
            entry["gauge"] = f"AWG {dice.choice(AWGS[:10])}"
        if len(fed) > 1 and self.some(0.4):
            entry["splice"] = self.place()
        elif len(fed) > 1 and self.some(0.4):
            entry["daisy-chain"] = dice.choice(("feed", "both"))
        if self.some(0.1):
            entry["essential"] = "yes"
        if self.some(0.1):
            entry["diode"] = "schottky"
        return entry

    def signals(self) -> None:
        """Wires between contacts, a cable and a coaxial line."""
        ends = [
            f"{name}.J1.{pin}"
            for name, entry in self.data.get("equipment", {}).items()
            for pin in entry.get("connectors", {}).get("J1", {}).get("pins", ())
            if pin not in "12"
        ]
        self.dice.shuffle(ends)
        wires = [
            {"from": a, "to": b}
            for a, b in zip(ends[::2], ends[1::2], strict=False)
            if a.partition(".")[0] != b.partition(".")[0]
        ]
        if wires:
            self.data["wires"] = wires
        places = list(self.data["places"])
        if len(places) > 1 and self.some(0.2):
            a, b = self.dice.sample(places, 2)
            self.data["multicores"] = {
                "cable": {"type": "2-core AWG 20", "from": a, "to": b, "spare": "yes"}
            }

    def work(self) -> None:
        """Ticks and readings."""
        circuits = list(self.data.get("circuits", ()))
        if circuits and self.some(0.3):
            states = ("planned", "cut", "pulled", "terminated", "rung out", "tested")
            self.data["build"] = {
                name: self.dice.choice(states) for name in circuits if self.some(0.5)
            } or {circuits[0]: "cut"}
        drawing = [n for n in self.names if "draw" in self.data["equipment"][n]]
        if drawing and self.some(0.2):
            self.data["measured"] = {self.dice.choice(drawing): {"amps": self.amps()}}
        for section in ("switches", "sources"):
            if not self.data[section]:
                del self.data[section]


class ThrownRing(Thrown):
    """The most that is thrown: three batteries, two alternators, five buses in a ring."""

    batteries = (3,)
    alternators = (2,)
    buses_at_least = 5
    ring = 1.0


def thrown(number: int) -> dict[str, Any]:
    """The data of a system."""
    return Thrown(number).data


def thrown_ring(number: int) -> dict[str, Any]:
    """The data of a system with the most sources."""
    return ThrownRing(number).data


def written(data: dict[str, Any]) -> bytes:
    """Its text."""
    return plain.written(data, width=1000).encode()


def shape(number: int) -> bytes:
    """The text of the system of that number."""
    return written(thrown(number))


# -- what is not known ----------------------------------------------------------------------------

UNKNOWN = {
    "equipment": ("draw",), "ways": ("length",), "feeders": ("length", "gauge"),
    "sources": ("resistance", "output"),
}  # fmt: skip


def blinded(number: int, data: dict[str, Any]) -> tuple[dict[str, Any], str]:
    """The same system without one value, and which; "" where there is none to take."""
    dice = random.Random(-number)  # noqa: S311
    spots = [
        (section, name, key)
        for section, keys in UNKNOWN.items()
        for name, entry in (
            data.get(section, {}).items()
            if isinstance(data.get(section, {}), dict)
            else enumerate(data[section])
        )
        for key in keys
        if key in entry and not (key == "output" and "rating" not in entry)
    ]
    if not spots:
        return data, ""
    section, name, key = dice.choice(spots)
    copy = plain.texts(written(data))
    del copy[section][name][key]
    if key == "draw":
        copy[section][name].pop("inrush", None)
        copy.get("measured", {}).pop(name, None)
        if not copy.get("measured", True):
            del copy["measured"]
    return copy, f"{section}.{name}.{key}"


def numbers(study: Study) -> dict[tuple[str, ...], float]:
    """Every number with a unit in the tables, by table, words of its row, and column."""
    found: dict[tuple[str, ...], float] = {}
    for name, make in TABLES.items():
        table = make(study)
        for row in table.rows:
            plain = [bare(value) for value in row]
            words = [
                str(value)
                for value, column in zip(plain, table.columns, strict=True)
                if isinstance(value, str) and not column.measure
            ]
            for value, column in zip(plain, table.columns, strict=True):
                if isinstance(value, int | float) and column.measure:
                    found[name, *words[:3], column.key] = float(value)
    return found


def silent_zeros(known: Study, unknown: Study) -> list[str]:
    """Numbers that become zero where something is not known any more; there should be none."""
    before, after = numbers(known), numbers(unknown)
    return [
        f"{' '.join(key)}: {before[key]:g}, then 0"
        for key, value in after.items()
        if value == 0 and before.get(key, 0.0) != 0
    ]
