"""Random edits of a ticked system: does a tick ever count for a wire that it was not given for?

`python -m tests.systems.random_edits 1000` tries so many; the suite tries 50. What a wire is, is
said here anew from chains and runs: its two ends, its gauge and type, the ways that it takes, and
its length. A tick that counts after the edits has to stand at a wire that is all that still.
"""

import copy
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from msgspec import Struct

from elec.answers.base.ticked import entry_of, given_for, state_of
from elec.read import read
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Conductor, chains
from elec.wiring.runs import run_as_planned
from elec.wiring.wires import kind_name
from tests import plain

BASE = """\
system: {name: Siskin, nominal: 14 V, wire: etfe-tin}
phases: {taxi: {lasts: 8 min, engine: 1300 rpm}, cruise: {lasts: 90 min, engine: 2450 rpm}}
sources: {battery: {kind: lead-acid, place: nose, capacity: 17 Ah, rate: 20 h}}
buses: {main: {place: desk}, second: {place: desk}}
feeders:
  - {name: battery cable, from: battery, to: main, contactor: master, limiter: 60 A, gauge: AWG 6}
  - {name: second feed, from: main, to: second, breaker: 15 A, switch: second, gauge: AWG 14}
switches:
  master: {kind: contactor, place: nose}
  strobe: {place: desk}
  lamp: {place: desk}
  second: {place: desk}
grounds: {post: {place: nose}, block: {place: desk, kind: block, gauge: AWG 8}}
equipment:
  com: {place: desk, draw: 1 A, connectors: {J1: {type: dsub-15, contacts: socket,
        pins: {1: power, 8: ground, 3: audio, 4: audio low, 5: mic, 6: mic low, 7: spare}}}}
  phones: {place: cabin, passive: yes, connectors: {J1: {type: dsub-9, contacts: socket,
           pins: {1: audio, 2: audio low, 3: mic, 4: mic low, 5: spare, 6: spare}}}}
  strobe: {place: tail, draw: 2 A}
  left: {place: tail, draw: 1 A}
  right: {place: tail, draw: 1 A}
  fan: {place: cabin, draw: 1 A}
  seat: {place: cabin, draw: 2 A}
  whip: {place: roof, passive: yes}
plugs: {root: {place: aft, type: circular-4, contacts: pin}}
circuits:
  com: {bus: main, breaker: 5 A, feeds: com, gauge: AWG 20}
  strobe: {bus: main, breaker: 5 A, switch: strobe, feeds: strobe, gauge: AWG 20}
  left: {bus: main, breaker: 3 A, switch: lamp, feeds: left, through: {root: {feed: A, return: B}}}
  right: {bus: main, breaker: 3 A, switch: lamp, feeds: right,
          through: {root: {feed: C, return: D}}}
  fan: {bus: second, breaker: 5 A, feeds: fan, gauge: AWG 20}
  seat: {bus: second, breaker: 5 A, feeds: [seat, fan], gauge: AWG 18}
wires:
  - {from: com.J1.3, to: phones.J1.1}
  - {from: com.J1.4, to: phones.J1.2}
  - {from: com.J1.5, to: phones.J1.3}
  - {from: com.J1.6, to: phones.J1.4}
coax: {whip: {type: RG-400, from: com, to: whip, service: com}}
multicores: {spare: {type: 2-core AWG 20, from: desk, to: tail, spare: yes}}
places: {nose: {ambient: 80 °C}, desk: {}, cabin: {}, roof: {}, aft: {}, tail: {}}
ways:
  - {between: [nose, desk], length: 4 ft}
  - {between: [desk, cabin], length: 3 ft}
  - {between: [cabin, roof], length: 4 ft}
  - {name: left side, between: [cabin, aft], length: 6 ft}
  - {name: right side, between: [cabin, aft], length: 6 ft 2 in}
  - {between: [aft, tail], length: 7 ft}
  - {between: [roof, aft], length: 6 ft}
zones: {aft: {places: [tail, aft]}}
"""

Text = dict[str, Any]
Edit = Callable[[Text, random.Random], None]


def _reorder(section: str) -> Edit:
    def edit(text: Text, luck: random.Random) -> None:
        if isinstance(text[section], list):
            luck.shuffle(text[section])
            return
        names = list(text[section])
        luck.shuffle(names)
        text[section] = {name: text[section][name] for name in names}

    return edit


def _delete(section: str) -> Edit:
    def edit(text: Text, luck: random.Random) -> None:
        held = text[section]
        if held:
            held.pop(luck.randrange(len(held)) if isinstance(held, list) else luck.choice([*held]))

    return edit


def _insert_circuit(text: Text, luck: random.Random) -> None:
    """A circuit before, between or behind the others, fed from either bus."""
    load = luck.choice([name for name, one in text["equipment"].items() if "draw" in one])
    name = f"new-{luck.randrange(1000)}"
    entry = {"bus": luck.choice(["main", "second"]), "breaker": "5 A", "feeds": load}
    if luck.random() < 0.5:
        entry["gauge"] = luck.choice(["AWG 18", "AWG 20"])
    if luck.random() < 0.5:
        entry["switch"] = luck.choice(["strobe", "lamp"])
    every = list(text["circuits"].items())
    every.insert(luck.randrange(len(every) + 1), (name, entry))
    text["circuits"] = dict(every)


def _insert_wire(text: Text, luck: random.Random) -> None:
    near, far = luck.choice("34567"), luck.choice("123456")
    wire = {"from": f"com.J1.{near}", "to": f"phones.J1.{far}"}
    text["wires"].insert(luck.randrange(len(text["wires"]) + 1), wire)


def _insert_feeder(text: Text, luck: random.Random) -> None:
    entry = {"name": f"feed {luck.randrange(100)}", "from": "main", "to": "second",
             "breaker": "20 A", "gauge": luck.choice(["AWG 14", "AWG 12"])}  # fmt: skip
    text["feeders"].insert(luck.randrange(len(text["feeders"]) + 1), entry)


def _some(text: Text, luck: random.Random) -> Text:
    """A circuit, feeder, wire or ground, to change a key of."""
    entries = [*text["circuits"].values(), *text["feeders"], *text["wires"]]
    entry: Text = luck.choice(entries)
    return entry


def _regauge(text: Text, luck: random.Random) -> None:
    _some(text, luck)["gauge"] = luck.choice(["AWG 14", "AWG 18", "AWG 20", "AWG 22"])


def _retype(text: Text, luck: random.Random) -> None:
    _some(text, luck)["wire"] = luck.choice(["etfe-tin", "silver-200"])


def _relength(text: Text, luck: random.Random) -> None:
    _some(text, luck)["length"] = luck.choice(["3 ft", "9 ft", "9 ft 2 in", "20 ft"])


def _number(text: Text, luck: random.Random) -> None:
    _some(text, luck)["number"] = luck.randrange(1, 12)


def _via(text: Text, luck: random.Random) -> None:
    luck.choice([*text["circuits"].values()])["via"] = [luck.choice(["cabin", "aft", "roof"])]


def _avoid(text: Text, luck: random.Random) -> None:
    luck.choice([*text["circuits"].values()])["avoid"] = luck.choice(["left side", "right side"])


def _way(text: Text, luck: random.Random) -> None:
    luck.choice(text["ways"])["length"] = luck.choice(["3 ft", "5 ft", "6 ft", "6 ft 2 in"])


def _way_name(text: Text, luck: random.Random) -> None:
    one, other = luck.sample(text["ways"], 2)
    one["between"], other["between"] = other["between"], one["between"]


def _rename(section: str) -> Edit:
    """Two of a section take each other's name, or one takes a new one: circuits, loads."""

    def edit(text: Text, luck: random.Random) -> None:
        names = [name for name in text[section] if name not in ("com", "phones", "whip")]
        if len(names) < 2:
            return
        one, other = luck.sample(names, 2)
        taken = {one: other, other: one} if luck.random() < 0.6 else {one: f"{one}-b"}
        text[section] = {taken.get(n, n): entry for n, entry in text[section].items()}
        if section == "equipment":
            for entry in text["circuits"].values():
                feeds = entry["feeds"]
                many = [taken.get(n, n) for n in ([feeds] if isinstance(feeds, str) else feeds)]
                entry["feeds"] = many[0] if isinstance(feeds, str) else many

    return edit


def _swap_feeds(text: Text, luck: random.Random) -> None:
    if len(text["circuits"]) > 1:
        one, other = luck.sample([*text["circuits"].values()], 2)
        one["feeds"], other["feeds"] = other["feeds"], one["feeds"]


def _move(text: Text, luck: random.Random) -> None:
    entry = text["equipment"][luck.choice(["strobe", "left", "right", "fan", "seat"])]
    entry["place"] = luck.choice(["tail", "cabin", "aft", "roof"])


def _rebus(text: Text, luck: random.Random) -> None:
    luck.choice([*text["circuits"].values()])["bus"] = luck.choice(["main", "second"])


def _recable(text: Text, luck: random.Random) -> None:
    if "spare" in text["multicores"]:
        key, value = luck.choice(
            [("type", "3-core AWG 20"), ("type", "2-core AWG 22"), ("to", "roof"), ("from", "nose")]
        )
        text["multicores"]["spare"][key] = value


EDITS: tuple[Edit, ...] = (
    _insert_circuit, _insert_circuit, _insert_wire, _insert_wire, _insert_feeder,
    _delete("circuits"), _delete("wires"), _delete("feeders"), _delete("multicores"),
    _delete("coax"), _reorder("circuits"), _reorder("wires"), _reorder("feeders"), _reorder("ways"),
    _reorder("grounds"), _regauge, _retype, _relength, _number, _via, _avoid, _way, _way_name,
    _rename("circuits"), _rename("equipment"), _swap_feeds, _move, _rebus, _recable,
)  # fmt: skip


class Wire(Struct, frozen=True, kw_only=True):
    """What a wire is, whatever it is called."""

    ends: tuple[str, ...]
    made_of: tuple[str, ...]
    ways: tuple[str, ...]
    length_m: float | None

    def is_still(self, then: "Wire") -> bool:
        """Whether what was built then serves as this one."""
        same = (self.ends, self.made_of, self.ways) == (then.ends, then.made_of, then.ways)
        if self.length_m is None or then.length_m is None:
            return same and self.length_m is then.length_m
        # half an inch, by which a cut may be off (default `cut-tolerance`), and the inch to which
        # lengths are rounded up
        return same and self.length_m <= then.length_m + 0.0254 * 1.5 + 1e-9


def what_it_is(study: Study, one: Conductor) -> Wire:
    """A wire without its name, its number and its mark."""
    run = run_as_planned(study, one)
    sized = sizing(study).gauges.get(one.id)
    ends = tuple(f"{p.kind}:{p.name}:{p.contact}:{p.place}" for p in (one.a, one.b))
    names = [study.document.ways[leg.index].name or "" for leg in run.legs]
    cable = study.document.cables[one.cable].type if one.cable else kind_name(study, one)
    gauge = "" if one.cable else (sized.awg if sized else one.gauge or "?")
    return Wire(
        ends=(*ends, one.core or ""),
        made_of=(gauge, cable, one.colour or ""),
        ways=(*run.places, *names),
        length_m=run.length_m,
    )


def study_of(text: Text, folder: Path) -> Study | None:
    path = folder / "siskin.yaml"
    path.write_text(plain.written(text), encoding="utf-8")
    found = read(path)
    return None if found.system is None else Study(found.system)


class Tried(Struct, frozen=True, kw_only=True):
    """What one trial came to."""

    wrong: tuple[str, ...] = ()
    kept: int = 0
    dropped: int = 0
    valid: bool = True


def ticked(luck: random.Random, folder: Path) -> tuple[Text, dict[str, list[Wire]]]:
    """The base with some names ticked: wires by their marks, circuits, feeders, cables."""
    text = plain.texts(BASE)
    study = study_of(text, folder)
    assert study is not None
    from elec.answers.base.marks import marks

    named: dict[str, list[Wire]] = {}
    for chain in chains(study).by_name.values():
        wires = [what_it_is(study, one) for one in chain.conductors()]
        if wires:
            named[chain.name] = wires
        if chain.kind != "cable":
            named |= {marks(study)[c.id]: [what_it_is(study, c)] for c in chain.conductors()}
    chosen = luck.sample(sorted(named), luck.randrange(3, len(named)))
    states = ("cut", "pulled", "terminated", "rung out", "tested")
    text["build"] = {
        name: {"state": luck.choice(states), "for": given_for(study, name)} for name in chosen
    }
    return text, {name: named[name] for name in chosen}


def tried(seed: int) -> Tried:
    """Tick, edit, and look at what every tick counts for now."""
    luck = random.Random(seed)  # noqa: S311
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        text, given = ticked(luck, folder)
        edited = copy.deepcopy(text)
        for _ in range(luck.randrange(0, 5)):
            luck.choice(EDITS)(edited, luck)
        study = study_of(edited, folder)
        if study is None:
            return Tried(valid=False)
        wrong: list[str] = []
        used: Counter[str] = Counter()
        for one in chains(study).conductors():
            entry = entry_of(study, one)
            if entry is None:
                assert state_of(study, one) == "planned"
                continue
            now = what_it_is(study, one)
            used[entry.name] += 1
            if not any(now.is_still(then) for then in given[entry.name]):
                wrong.append(f"{entry.name} counts for {one.id}: {now}, not {given[entry.name]}")
        wrong += [
            f"{name} counts for {count} wires, given for {len(given[name])}"
            for name, count in used.items()
            if count > len(given[name])
        ]
        return Tried(wrong=tuple(wrong), kept=len(used), dropped=len(given) - len(used))


def main(count: int) -> int:
    """Try so many; gives how many ticks stood at a wrong wire."""
    found = [tried(seed) for seed in range(count)]
    valid = [one for one in found if one.valid]
    wrong = [text for one in valid for text in one.wrong]
    print("\n".join(wrong[:5]))  # noqa: T201
    print(  # noqa: T201
        f"{count} trials, {len(valid)} of them systems that can be read; ticks that hold "
        f"{sum(one.kept for one in valid)}, dropped {sum(one.dropped for one in valid)}, at a "
        f"wrong wire {len(wrong)}"
    )
    return len(wrong)


if __name__ == "__main__":
    sys.exit(bool(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)))
