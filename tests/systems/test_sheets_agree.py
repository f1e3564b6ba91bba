"""What a drawn sheet says stands in the tables alike: every text read back from the SVG."""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.free import ground_terminals
from elec.answers.connect.holes import passages
from elec.answers.grounds.grounding import ground_points
from elec.answers.heat.heat import heat
from elec.check import run
from elec.drawings.from_study import drawings
from elec.drawings.svg import to_svg
from elec.units import cut_length
from elec.wiring.chains import chains
from elec.wiring.duty import duties
from elec.wiring.runs import runs
from elec.write.values import printed
from tests.answers.helper import NAMES, whole
from tests.drawings.reader import read_sheet
from tests.systems.test_one_answer import every_table

MARK = re.compile(r"[A-Z]\d+[A-Z](?:\d+|-)[A-Z]?")
WITH_WIRES = ("circuit", "grounds", "one-line", "connector")
Rows = list[dict[str, str]]
Said = tuple[str, str, tuple[str, ...]]
"""Kind of drawing, reference, and the texts that stand under that reference, in order."""


@cache
def sheets(name: str) -> tuple[Said, ...]:
    """Every text of every sheet, those under one reference together."""
    found = []
    for drawing in drawings(whole(name)).drawings:
        for sheet in drawing.sheets:
            texts: dict[str, list[str]] = defaultdict(list)
            for text in read_sheet(to_svg(sheet)).texts:
                if not text.framed:
                    texts[text.ref].append(text.words)
            found += [(f"{drawing.kind} {drawing.about}".strip(), ref, tuple(words))
                      for ref, words in texts.items()]  # fmt: skip
    return tuple(found)


def of_kind(name: str, *kinds: str) -> Iterator[Said]:
    return (said for said in sheets(name) if said[0].split()[0] in kinds)


@cache
def rows(name: str, table: str) -> Rows:
    """A table of the book as printed."""
    system = whole(name).system.about.units
    (found,) = [t for t in every_table(name) if t.id == table]
    return [
        {c.key: printed(v, c, system) for v, c in zip(row, found.columns, strict=True)}
        for row in found.rows
    ]


@cache
def wires(name: str) -> Mapping[str, dict[str, str]]:
    return {row["mark"]: row for row in rows(name, "conductors")}


def facts_of(texts: tuple[str, ...]) -> Iterator[tuple[str, str, str]]:
    """(mark, what, text) of texts beside a wire: `R1A22 · 2 ft`, `AWG 22 · white`, and its row."""
    mark = before = ""
    for text in texts:
        for part in text.split(" · "):
            before, last = part, before
            if MARK.fullmatch(part):
                mark = part
            elif mark and last == mark and re.fullmatch(r"[\d/]+", part):
                yield mark, "gauge_awg", part
            elif part.startswith("AWG "):
                yield mark, "gauge_awg", part.removeprefix("AWG ")
            elif re.fullmatch(r"(\d+ ft)?( ?[\d.]+ in)?|[\d.]+ (m|mm)", part):
                yield mark, "length_m", part


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_on_a_sheet_has_the_gauge_length_and_colour_of_the_schedule(name: str) -> None:
    seen: set[tuple[str, str]] = set()
    colours = {row["colour"] for row in wires(name).values()} - {""}
    for sheet, ref, texts in of_kind(name, *WITH_WIRES):
        several = any(re.search(r"[A-Z]\d+\w+ to [A-Z]\d", text) for text in texts)
        if several or (sheet.split()[0] not in ("one-line", "connector") and "/" not in ref):
            continue
        for mark, key, text in facts_of(texts):
            if mark in wires(name):
                assert wires(name)[mark][key].removeprefix("AWG ") == text, (sheet, ref, mark)
                seen.add((mark, key))
        parts = [part for text in texts for part in text.split(" · ")]
        on_it = {part for part in parts if part in wires(name)}
        for colour in colours.intersection(parts):
            assert {wires(name)[mark]["colour"] for mark in on_it} == {colour}, (sheet, ref)
            seen |= {(mark, "colour") for mark in on_it}
    study = whole(name)
    alone = {marks(study)[c.id] for c in chains(study).conductors()
             if chains(study).by_name[c.chain].kind != "feeder" and c.role != "spare"}  # fmt: skip
    for mark, row in wires(name).items():  # those of a feeder, and spare cores, stand together
        for key in ("gauge_awg", "length_m", "colour"):
            if row[key] and row["gauge_awg"] and mark in alone:
                assert (mark, key) in seen


def lengths_m(name: str) -> Mapping[str, float]:
    """Mark → length as a number."""
    study = whole(name)
    return {
        marks(study)[c.id]: runs(study)[c.id].length_m or 0.0 for c in chains(study).conductors()
    }


@pytest.mark.parametrize("name", NAMES)
def test_the_one_line_has_the_device_current_and_length_of_the_tables(name: str) -> None:
    study, system = whole(name), whole(name).system.about.units
    devices = {row["circuit"]: row for row in rows(name, "protection")}
    loads: dict[str, list[str]] = defaultdict(list)
    for row in rows(name, "wires"):
        loads[row["circuit"]].append(row["current_a"])
    seen = 0
    for _, ref, texts in of_kind(name, "one-line"):
        if not any(ref in part for part in (study.document.circuits, feeders_of(name))):
            continue
        chain = chains(study).by_name[ref]
        parts = [part for text in texts for part in text.split(" · ")]
        first = chain.rows[0].conductors
        on_way = chain.conductors() if chain.kind == "feeder" else [c for c in first if c]
        whole_m = sum(lengths_m(name)[marks(study)[c.id]] for c in on_way)
        if on_way:
            names = [marks(study)[c.id] for c in on_way]
            if chain.kind == "feeder":  # each wire with its length: test_one_line_said
                said = {one for part in parts for one in part.split(", ")}
                over = any(part.kind == "changeover" for part in chain.parts())
                assert said >= set(names) or (over and said & set(names)), ref  # behind it: shared
            else:
                spans = {re.sub(r" \+ \d+$", "", part) for part in parts}  # wires that branch off
                assert " to ".join(dict.fromkeys((names[0], names[-1]))) in spans, (ref, parts)
                assert cut_length(whole_m, system) in parts, (ref, parts)
        found = devices.get(chain.title, {})
        if found.get("device") and not found["device"].startswith("none"):
            assert found["device"].rsplit(" ", 1)[0] in parts, (ref, parts)
            seen += 1
        if chain.kind == "feeder":
            hot = [heat(study)[c.id] for c in chain.conductors() if c.id in heat(study)]
            known = bool(hot) and not any(one.unknown for one in hot)
            most = f"{max((one.current_a for one in hot), default=0.0):.1f} A"
            by = f"alone {duties(study)[ref].current_a:.1f} A" if ref in duties(study) else ""
            assert {most if known else "? A", by} & set(parts) or not hot, (ref, parts)
        elif found.get("load_a"):
            assert any(same(part, found["load_a"]) for part in parts), (ref, parts, found["load_a"])
        elif len(loads[chain.title]) == 1:
            assert any(same(part, loads[chain.title][0]) for part in parts), (ref, parts)
    assert seen >= len(study.document.circuits) // 2


def feeders_of(name: str) -> set[str]:
    return {chain.name for chain in chains(whole(name)).of("feeder")}


def same(text: str, amps: str) -> bool:
    """Whether a printed current is another one rounded to fewer digits."""
    if not re.fullmatch(r"[\d.]+", text) or not re.fullmatch(r"[\d.]+", amps):
        return text == amps == "?"
    digits = len(text.partition(".")[2])
    return abs(float(text) - float(amps)) <= float(0.5 * 10**-digits) + 0.005 + 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_a_circuit_sheet_has_the_device_current_and_drop_of_the_tables(name: str) -> None:
    study = whole(name)
    devices = {row["circuit"]: row for row in rows(name, "protection")}
    drops = {(row["circuit"], row["load"]): row for row in rows(name, "wires")}
    seen = rated = 0
    for _, ref, texts in of_kind(name, "circuit"):
        about = ref
        if about not in study.document.circuits:
            continue
        title, text = chains(study).by_name[about].title, " ".join(texts)
        row = devices.get(title)
        if row and "protection:" in text:
            assert row["device"] in text, (about, text)
            for current in re.findall(r"([\d.]+) A at most", text):
                assert same(current, row["load_a"]), (about, row["load_a"])
            for needed in re.findall(r"at least ([\d.]+) A for its load", text):
                step = 0.01 if float(row["needed_a"]) < 1.0 else 0.1
                more = float(needed) - float(row["needed_a"])  # rounded up to one step, never down
                assert -0.005 * float(row["needed_a"]) - 1e-9 <= more < step + 0.005, about
                rated += 1
        loads = chains(study).by_name[about].loads
        for load in loads:
            load_title = study.system.title("equipment", load)
            of = rf" \({re.escape(load_title)}\)" if len(loads) > 1 else ""
            for lost, limit in re.findall(
                rf"([\d.]+) V{of}[^;]* out and back, ([\d.]+) V allowed", text
            ):
                here = drops[title, load_title]
                assert same(lost, here["drop_v"]), (about, load)
                assert limit == here["limit_v"], (about, load)
                seen += 1
    assert seen
    assert rated


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_has_the_ratings_and_gauges_of_the_tables(name: str) -> None:
    study = whole(name)
    devices = {row["circuit"]: row for row in rows(name, "protection")}
    seen = 0
    for sheet, ref, texts in of_kind(name, "panel"):
        known = ref in study.document.circuits or ref in feeders_of(name)
        row = devices.get(chains(study).by_name[ref].title) if known else None
        if row and len(texts) > 2 and re.fullmatch(r"[\d.]+", texts[1]):
            assert row["device"].startswith(f"{texts[1]} A "), (sheet, ref, texts)
            seen += 1
        engraved = re.search(r" ([\d.]+ A)$", " ".join(texts))  # of a fuse
        if row and engraved and not ref.startswith("position"):
            assert row["device"].startswith(f"{engraved[1]} "), (sheet, ref, texts)
            seen += 1
        for i, word in enumerate(texts):
            more = f"{word} {texts[i + 1]}" if i + 1 < len(texts) else word  # a title in two lines
            text, last = (more, i + 1) if more in devices else (word, i)
            if ref.startswith("position") and text in devices and texts[i - 1].endswith(" A"):
                assert devices[text]["device"].startswith(f"{texts[i - 1]} "), (sheet, texts)
                assert texts[last + 1] == f"AWG {devices[text]['gauge_awg']}", (sheet, texts)
                seen += 1
    assert seen or not study.document.circuits


@pytest.mark.parametrize("name", NAMES)
def test_a_contact_on_a_sheet_has_the_wire_of_the_pin_table(name: str) -> None:
    tables = {t.id.removeprefix("contacts-") for t in every_table(name)
              if t.id.startswith("contacts-")}  # fmt: skip
    seen = 0
    for _, ref, texts in of_kind(name, "connector"):
        about, _, contact = ref.rpartition(".")
        if about not in tables:
            continue
        for row in rows(name, f"contacts-{about}"):
            if row["contact"] == contact and row["gauge_awg"] and row["mark"] in texts:
                at = texts.index(row["mark"])
                assert {f"AWG {row['gauge_awg']}", row["gauge_awg"]} & set(texts[at:]), (about, ref)
                seen += 1
        for text in texts:
            if text in wires(name):
                landed = {r["mark"] for r in rows(name, f"contacts-{about}")}
                assert text in landed, (about, ref, text)
    assert seen


@pytest.mark.parametrize("name", NAMES)
def test_a_way_on_the_map_has_the_wires_and_thickness_of_the_bundle_table(name: str) -> None:
    study = whole(name)
    table = {row["way"]: row for row in rows(name, "bundles")}
    seen = 0
    for passage in passages(study).values():
        row = table[passage.title]
        for _, ref, texts in of_kind(name, "routes"):
            text = " ".join(texts)
            found = re.search(r": (\d+) wires? ⌀ ([\d.]+) mm", text)
            if ref == f"way {passage.way + 1}" and found:
                assert found[1] == row["wires_count"], text
                assert same(row["all_mm"], found[2]), text
                several = re.search(r"together, in (\d+) bundles", text)
                assert (several[1] if several else "1") == row["bundles_count"]
                if not several:
                    assert row["all_mm"] == row["diameter_mm"], text
                seen += 1
    said = " ".join(" ".join(texts) for _, _, texts in of_kind(name, "routes"))
    assert seen or not said or "wires and thickness are in the table" in said


@pytest.mark.parametrize("name", NAMES)
def test_terminals_on_a_ground_are_counted_alike(name: str) -> None:
    study = whole(name)
    checked = {f.about: f for f in run(study, only=("ground-stud",))}
    table = {row["ground"]: row for row in rows(name, "grounds")}
    drawn: dict[str, str] = defaultdict(str)
    for _, ref, texts in of_kind(name, "grounds"):
        if ref.startswith("ground:"):
            drawn[ref.removeprefix("ground:")] += " " + " ".join(texts)
    for ground, entry in study.document.grounds.items():
        shields = sum(cable.drain == ground for cable in study.document.cables.values())
        ends = sum(
            part.kind == "ground" and part.name == ground
            for wire in chains(study).conductors()
            for part in (wire.a, wire.b)
        )
        needed = ends + -(-shields // entry.shields_per_terminal)
        row = table[study.system.title("grounds", ground)]
        assert checked[ground].value == needed
        assert ground_terminals(study, ground).taken == needed
        assert (row["terminals_count"], row["returns_count"]) == (str(needed), str(ends + shields))
        if ground in drawn and ends + shields:
            said = set(
                re.findall(r"(\d+) wires?(?: on (\d+)(?: of \d+)? terminals)?", drawn[ground])
            )
            assert said in ({(str(ends + shields), str(needed))}, {(str(needed), "")})


def test_shields_that_share_a_terminal_take_fewer() -> None:
    found = {}
    for name, study in (("foxglove", whole("foxglove")), ("larkspur", whole("larkspur"))):
        for ground, point in ground_points(study).items():
            found[name, ground] = (len(point.landed), point.rings, point.wires)
    assert found["foxglove", "avionics-block"] == (16, 16, "16 wires")
    assert found["larkspur", "essential-block"] == (28, 17, "28 wires on 17 terminals")
