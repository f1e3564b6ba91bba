"""The finished sheets as they are printed: nothing on anything else, and the wiring read back.

Both look at the SVG alone. The wiring found in it is held against the system file as plain YAML
(signal wires, cables) and against the chains (circuits, grounds).
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from msgspec import structs

from elec.answers.base.marks import marks
from elec.answers.connect.pins import pins
from elec.drawings.from_study import Drawings, drawings
from elec.drawings.records.bench import SHIELD
from elec.drawings.records.thin import thin_homes
from elec.drawings.sheet import Sheet, TitleBlock
from elec.drawings.svg import to_svg
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from tests import plain
from tests.drawings.random_text import random_text
from tests.drawings.reader import Drawn, crossings, faults, read_sheet
from tests.drawings.references import plugs_met
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
SEEDS = range(25)


@cache
def study(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


def random_study(folder: Path, seed: int) -> Study:
    file = folder / "random.yaml"
    file.write_text(random_text(seed), encoding="utf-8")
    reading = read(file)
    assert reading.system is not None, reading.mistakes
    return Study(reading.system)


@cache
def read_back(name: str) -> dict[str, list[tuple[str, Drawn]]]:
    """Kind of drawing → what it is about, and each of its sheets read from its SVG."""
    return _read_all(drawings(study(name)))


def _read_all(made: Drawings) -> dict[str, list[tuple[str, Drawn]]]:
    found: dict[str, list[tuple[str, Drawn]]] = {}
    for drawing in made.drawings:
        for sheet in drawing.sheets:
            found.setdefault(drawing.kind, []).append((drawing.about, read_sheet(to_svg(sheet))))
    return found


# --- nothing on anything else -----------------------------------------------------------------


def _all_faults(found: dict[str, list[tuple[str, Drawn]]]) -> list[str]:
    said = []
    for kind, sheets in found.items():
        for about, drawn in sheets:
            said += [f"{kind} {about}: {fault}" for fault in faults(drawn)]
            if kind != "interconnect" and crossings(drawn):
                said.append(f"{kind} {about}: {crossings(drawn)} crossings")
    return said


@pytest.mark.parametrize("name", NAMES)
def test_no_printed_sheet_has_a_fault(name: str) -> None:
    assert _all_faults(read_back(name)) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_random_systems_have_no_fault_and_draw_every_wire(tmp_path: Path, seed: int) -> None:
    made = random_study(tmp_path, seed)
    found = _read_all(drawings(made))
    assert _all_faults(found) == []
    met, wrong = plugs_met(made, drawings(made))
    assert wrong == []
    assert met == 4 * sum("through: " in line for line in random_text(seed).splitlines())
    document = plain.texts(random_text(seed))
    assert _signals(found, made) == _signals_of(document, made)
    assert _powers(found) == _powers_of(made)
    assert _pins(found, made) == _pins_of(made)


def _clean() -> Sheet:
    sheet = Sheet(size="A4", title=TitleBlock(title="Test"))
    sheet.line(((40, 50), (80, 50)), ref="w1")
    sheet.symbol("breaker", (80, 50), ref="b1", net="w1")
    sheet.line(((86, 50), (120, 50)), ref="w1")
    sheet.rect((120, 40, 150, 60), ref="box")
    sheet.text(60, 48, "L31A20", ref="w1")
    return sheet


PLANTED: dict[str, Callable[[Sheet], object]] = {
    "text on text": lambda s: s.text(62, 48, "L32"),
    "text on line": lambda s: s.text(50, 51, "over the wire"),
    "text on symbol": lambda s: s.text(81, 48.5, "xx"),
    "one piece for two": lambda s: s.line(((60, 50), (75, 50)), ref="w2"),
    "outside the frame": lambda s: s.text(280, 30, "far right of it"),
    "in the title block": lambda s: s.text(200, 190, "under"),
    "too small": lambda s: s.text(40, 80, "tiny", capital_mm=2.4),
}


def test_the_reader_finds_nothing_on_a_clean_sheet() -> None:
    assert faults(read_sheet(to_svg(_clean()))) == []


@pytest.mark.parametrize("kind", PLANTED)
def test_the_reader_finds_each_planted_fault(kind: str) -> None:
    sheet = _clean()
    PLANTED[kind](sheet)
    assert kind in {fault.partition(":")[0] for fault in faults(read_sheet(to_svg(sheet)))}


def test_the_reader_finds_an_edge_and_a_line_outside() -> None:
    sheet = _clean()
    sheet.text(140, 61, "across the edge")
    sheet.line(((200, 5), (210, 5)), ref="w3")
    kinds = {fault.partition(":")[0] for fault in faults(read_sheet(to_svg(sheet)))}
    assert kinds == {"text on line", "outside the frame"}


def test_the_reader_counts_crossings() -> None:
    sheet = _clean()
    sheet.line(((60, 40), (60, 60)), ref="w2")
    assert crossings(read_sheet(to_svg(sheet))) == 1


# --- the wiring, read back --------------------------------------------------------------------

MARK = re.compile(r"[A-Z]\d+[A-Z]+(?:\d+|\d/0|-)[A-Z]?")
Ends = frozenset[str]


def _conductors(
    found: dict[str, list[tuple[str, Drawn]]], kinds: tuple[str, ...]
) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    for kind in kinds:
        for _, drawn in found.get(kind, []):
            yield from drawn.conductors


def _signals(found: dict[str, list[tuple[str, Drawn]]], made: Study) -> Counter[Ends]:
    """The signal wires on the sheets of connectors: the contacts at which each mark stands.

    One that ends on no connector stands on the sheet of a circuit or of the grounds, at no contact.
    """
    at: dict[str, list[str]] = {}
    signal = {
        marks(made)[c.id]
        for kind in ("wire", "cable")
        for chain in chains(made).of(kind)
        for c in chain.conductors()
    }
    for _, drawn in found.get("connector", []):
        for text in drawn.texts:
            if text.words in signal:
                at.setdefault(text.words, []).append(text.ref)
    for _, drawn in (*found.get("grounds", []), *found.get("circuit", [])):
        for text in drawn.texts:
            if (
                MARK.match(text.words)
                and text.words.partition(" ")[0] in signal
                and not text.ref.startswith("ground:")
            ):
                at.setdefault(text.words.partition(" ")[0], [])
    for mark, contacts in at.items():
        assert len(set(contacts)) == len(contacts) <= 2, mark
    return Counter(frozenset(contacts) for contacts in at.values())


def _signals_of(document: dict[str, Any], made: Study) -> Counter[Ends]:
    """The signal wires of the file: those of their ends that are contacts of a connector."""
    equipment = made.document.equipment

    def ends(*texts: str) -> Ends:
        kept = set()
        for text in texts:
            name, _, rest = text.partition(".")
            known = equipment[name].connectors if name in equipment else {}
            if name in (document.get("plugs") or {}) or rest.rpartition(".")[0] in known:
                kept.add(text)
            elif rest in known:
                kept.add(f"{text}.centre")
        return frozenset(kept)

    found: Counter[Ends] = Counter()
    for wire in document.get("wires") or ():
        found[ends(wire["from"], wire["to"])] += 1
    for text in _thin(document):
        found[ends(text)] += 1
    cables = [*(document.get("multicores") or {}).values(), *(document.get("coax") or {}).values()]
    for cable in cables:
        for core in (cable.get("cores") or {}).values():
            found[ends(core["from"], core["to"])] += 1
        if not cable.get("cores"):
            head = str(cable["type"]).partition("-core")
            count = int(head[0]) if head[1] else 1
            found[ends(cable["from"], cable["to"])] += count
    return found


def _thin(document: dict[str, Any]) -> Iterator[str]:
    """Where the fused wires lead that an entry asks for by a word: sense, lamp, light."""
    keys = {"sources": ("sense", "warning-lamp"), "switches": ("engaged-light",)}
    for section, words in keys.items():
        for entry in (document.get(section) or {}).values():
            for word in words:
                asked = entry.get(word)
                text = asked.get("from") or asked.get("to") if isinstance(asked, dict) else asked
                if text not in (None, "none", "inside"):
                    yield str(text)


def _powers(found: dict[str, list[tuple[str, Drawn]]]) -> Counter[tuple[str, Ends]]:
    """The wires of circuits and grounds, drawn whole once on their sheets."""
    ends: dict[str, list[str]] = {}
    for ref, role, two in _conductors(found, ("circuit", "grounds")):
        assert role == "", ref
        ends.setdefault(ref, []).extend(end for end in two if end)
    return Counter((ref, frozenset(two)) for ref, two in ends.items() if len(two) == 2)


def _powers_of(made: Study) -> Counter[tuple[str, Ends]]:
    every = (*chains(made).of("circuit"), *chains(made).of("ground"),
             *(chains(made).by_name[wire] for wire in thin_homes(made)))  # fmt: skip
    return Counter(
        (conductor.id, frozenset((conductor.a.id, conductor.b.id)))
        for chain in every
        for conductor in chain.conductors()
    )


def _pins(found: dict[str, list[tuple[str, Drawn]]], made: Study) -> Counter[str]:
    """Rows of the contacts of equipment on the sheets of connectors: what stands first in them.

    Not those of shields and of warnings, which are no contacts.
    """
    known = pins(made).by_id
    rows: Counter[str] = Counter()
    for _, drawn in found.get("connector", []):
        first: dict[str, float] = {}
        for text in drawn.texts:
            first[text.ref] = min(first.get(text.ref, text.box[0]), text.box[0])
        for text in drawn.texts:
            connector, _, contact = text.ref.rpartition(".")
            leads = text.box[0] < first[text.ref] + 0.3
            if connector in known and known[connector].equipment and contact not in (SHIELD, "⚠"):
                rows[text.ref] += leads and text.words == contact
    return rows


def _pins_of(made: Study) -> Counter[str]:
    """Every contact that is named or wired: once for each wire on it, once without any."""
    found: Counter[str] = Counter()
    for one in pins(made).by_id.values():
        for pin in one.pins:
            if one.equipment and pin.state != "spare":
                found[f"{one.id}.{pin.contact}"] += len(pin.landings) or 1
    return found


def _plain(name: str) -> dict[str, Any]:
    """The whole system file as YAML reads it, `like:` filled in."""
    document: dict[str, Any] = {}
    for file in sorted((SYSTEMS / name).glob("*.yaml")):
        for section, entries in plain.texts(file.read_text(encoding="utf-8")).items():
            if isinstance(entries, dict):
                document.setdefault(section, {}).update(entries)
            else:
                document.setdefault(section, []).extend(entries)
    return document


@pytest.mark.parametrize("name", NAMES)
def test_every_signal_wire_of_the_file_is_drawn_once(name: str) -> None:
    assert _signals(read_back(name), study(name)) == _signals_of(_plain(name), study(name))


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_of_the_circuits_is_drawn_once(name: str) -> None:
    assert _powers(read_back(name)) == _powers_of(study(name))


@pytest.mark.parametrize("name", NAMES)
def test_every_contact_has_its_row(name: str) -> None:
    assert _pins(read_back(name), study(name)) == _pins_of(study(name))


@pytest.mark.parametrize("name", NAMES)
def test_every_contact_stands_in_the_table_of_its_connector(name: str) -> None:
    made = drawings(study(name))
    for drawing in made.of("connector"):
        shown = {text.ref for sheet in drawing.sheets for text in read_sheet(to_svg(sheet)).texts}
        for about in drawing.names or (drawing.about,):
            one = pins(study(name)).by_id[about]
            assert {f"{about}.{p.contact}" for p in one.pins if p.landings} <= shown


def test_a_wire_that_is_left_out_or_stands_twice_is_found() -> None:
    made, document = study("foxglove"), _plain("foxglove")
    found = dict(read_back("foxglove"))
    sheets = list(found["connector"])
    about, drawn = sheets[0]
    signal = next(t for t in drawn.texts if MARK.fullmatch(t.words) and t.words.startswith("U"))
    fewer = structs.replace(drawn, texts=[t for t in drawn.texts if t is not signal])
    left_out = _signals({**found, "connector": [(about, fewer), *sheets[1:]]}, made)
    assert left_out != _signals_of(document, made)
    twice = structs.replace(drawn, texts=[*drawn.texts, signal])
    with pytest.raises(AssertionError):
        _signals({**found, "connector": [(about, twice), *sheets[1:]]}, made)
