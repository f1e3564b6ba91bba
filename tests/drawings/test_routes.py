"""The map of places and ways: to scale, nothing on anything else, nothing left out silently."""

import math
import random
import re
import shutil
from collections.abc import Sequence
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.base.ticked import state_of
from elec.answers.connect.holes import passages
from elec.checks.bundle.hole import bundle_hole
from elec.drawings.ink import InkPath as Line
from elec.drawings.ink import Point
from elec.drawings.layout.clipped import inside
from elec.drawings.layout.labels import Label, Thick, segments_mm, stand, stand_shortened
from elec.drawings.layout.lanes import Strand, lane_of, lanes
from elec.drawings.layout.view import SCALES, bar, nice_step, ticks
from elec.drawings.map_inputs import MapPlace, MapSensor, MapWay, MapZone, PassedHole, RouteMap
from elec.drawings.records.routes import _needs, route_record
from elec.drawings.sheet import Item, Sheet, Size
from elec.drawings.sheets.map_ink import EMPTY, UNKNOWN, signs_of
from elec.drawings.sheets.routes import NEEDED, routes
from elec.drawings.svg import layer, to_svg
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.coils import COILED, coil_loads, contacts
from elec.wiring.runs import runs
from tests.drawings import invented
from tests.drawings.inspect import inspect
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
SIZES: tuple[Size, ...] = ("A3", "A4", "Letter", "Tabloid")


@cache
def study_of(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


@cache
def record(name: str) -> RouteMap:
    found = route_record(study_of(name))
    assert found is not None
    return found


@cache
def drawn(name: str, size: Size) -> tuple[Sheet, ...]:
    return tuple(routes(replace(record(name), size=size)))


def made_up(seed: int, size: Size = "A3") -> RouteMap:
    """A random airframe: a fuselage with branches, some places without a station."""
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    count = rnd.randint(3, 16)
    places = []
    for n in range(count):
        wing = rnd.random() < 0.4
        spot = (
            rnd.uniform(0.3, 7.0),
            rnd.uniform(-5.0, 5.0) if wing else rnd.choice((0.0, 0.0, 0.4)),
            rnd.uniform(-0.5, 1.6),
        )
        known = n < 2 or rnd.random() < 0.9
        places.append(
            MapPlace(id=f"p{n}", label=rnd.choice(invented.LOADS), at_m=spot if known else None)
        )
    ways = tuple(
        MapWay(
            number=n,
            title=f"way to {n}",
            a=f"p{n}",
            b=f"p{rnd.randrange(n)}",
            wires=rnd.randint(1, 60),
            bundles=rnd.choice((1, 1, 2)),
            diameter_m=(size_m := rnd.choice((None, rnd.uniform(0.002, 0.03)))),
            diameter="⌀ ?" if size_m is None else f"⌀ {size_m * 1000:.1f} mm",
            length="1.2 m",
            passed=tuple(
                PassedHole(kind=kind, diameter_m=0.025, text=f"{kind} ⌀ 25 mm")
                for kind in ("hole", "tube")
                if rnd.random() < 0.25
            ),
        )
        for n in range(1, count)
    )
    return RouteMap(
        title=invented.TITLE,
        places=tuple(places),
        ways=ways,
        zones=tuple(
            MapZone(
                id=f"z{k}",
                label=f"zone {k}",
                places=tuple(f"p{n}" for n in range(k, count, 4)),
                closes="before the skin is riveted",
            )
            for k in range(rnd.randint(0, 2))
        ),
        sensors=(MapSensor(id="s", label="compass", at_m=(1.0, 0.1, 0.8)),),
        size=size,
    )


def texts(sheets: tuple[Sheet, ...] | list[Sheet]) -> str:
    return " ".join(item.text for sheet in sheets for item in sheet.items)


def faults(sheets: tuple[Sheet, ...] | list[Sheet]) -> list[str]:
    """What is wrong, but for ways that cross in a view as they do in the airframe."""
    return [str(f) for s in sheets for f in inspect(s) if f.kind != "crossing"]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_no_fault_and_every_text_finds_its_place(name: str, size: Size) -> None:
    sheets = drawn(name, size)
    assert faults(sheets) == []
    assert "no room to write" not in texts(sheets)


@pytest.mark.parametrize("seed", range(6))
def test_random_airframes_have_no_fault(seed: int) -> None:
    found = made_up(seed, SIZES[seed % 4])
    sheets = routes(found)
    assert [f for f in faults(sheets) if not f.startswith("cut text")] == []
    assert "no room to write" not in texts(sheets)
    for place in found.places:
        if place.at_m is None:
            assert "Without a station, so not drawn" in texts(sheets)


@pytest.mark.parametrize("name", NAMES)
def test_every_way_is_drawn_or_listed_and_stands_in_the_table(name: str) -> None:
    sheets = drawn(name, "A3")
    lines = {i.ref for s in sheets for i in s.items if i.role == "way"}
    rows = {i.ref for s in sheets for i in s.items if i.kind == "text"}
    for way in record(name).ways:
        assert f"way {way.number}" in lines
        assert f"way {way.number}" in rows


@pytest.mark.parametrize("name", NAMES)
def test_places_stand_to_scale(name: str) -> None:
    """Two marks are as far apart on the first view as in the airframe over the printed scale."""
    sheet = drawn(name, "A3")[0]
    scale = float(next(i.text for i in sheet.items if ", 1:" in i.text).partition("1:")[2])
    assert scale in SCALES
    details = [i.box for i in sheet.items if i.role == "detail"][1:]
    marks = {
        i.ref: i.box
        for i in sheet.items
        if i.role == "place"
        and not any(d[0] < i.box[0] < d[2] and d[1] < i.box[1] < d[3] for d in details)
    }
    at = {p.id: p.at_m for p in record(name).places}
    other_axis = 2 if any(i.text.startswith("From the left, 1:") for i in sheet.items) else 1
    first, *others = marks
    for other in others:
        a, b = at[first], at[other]
        assert a is not None
        assert b is not None
        true_mm = math.hypot(a[0] - b[0], a[other_axis] - b[other_axis]) * 1000 / scale
        paper_mm = math.dist(marks[first][:2], marks[other][:2])
        assert paper_mm == pytest.approx(true_mm, abs=0.02)


@pytest.mark.parametrize("name", NAMES)
def test_all_views_have_one_scale(name: str) -> None:
    """On the builder's paper, where all texts find room."""
    sheets = routes(record(name))
    heads = [i.text for s in sheets for i in s.items if ", 1:" in i.text]
    heads = [text for text in heads if not text.startswith("Detail")]
    assert heads
    assert len({text.partition("1:")[2] for text in heads}) == 1
    assert ("All views have one scale." in texts(sheets)) == (len(heads) > 1)


@pytest.mark.parametrize("name", NAMES)
def test_the_list_to_pull_by_has_every_wire_that_lies_in_a_way_once(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    study = Study(system)
    lying: dict[str, set[int]] = {}
    for conductor in chains(study).conductors():
        for leg in runs(study)[conductor.id].legs:
            lying.setdefault(marks(study)[conductor.id], set()).add(leg.index + 1)
    assert lying
    listed = [mark for pull in record(name).pulls for mark in pull.marks]
    assert sorted(listed) == sorted(lying)
    for pull in record(name).pulls:
        ways = {int(part.split()[0]) for part in re.split(r", | \+ ", pull.ways)}
        assert all(lying[mark] == ways for mark in pull.marks), pull
    said = texts(routes(record(name)))
    cables = {mark: cable for pull in record(name).pulls
              for mark, cable in zip(pull.marks, pull.cables, strict=True)}  # fmt: skip
    boxes: dict[str, int] = {}
    for mark in lying:
        assert re.search(rf"(?<![\w-]){re.escape(mark)}(?![\w-])", said), mark
        one = cables[mark] or mark
        found = len(re.findall(rf"[☐☑]{re.escape(mark)}(?![\w-])", said))
        boxes[one] = boxes.get(one, 0) + found
    assert set(boxes.values()) == {1}


@pytest.mark.parametrize("name", NAMES)
def test_the_list_to_pull_by_is_ticked_as_the_wires_are(name: str) -> None:
    """As the sheets of the connectors have it: what is crimped or tested lies there."""
    far = {"pulled", "terminated", "rung out", "tested"}
    system = read(SYSTEMS / name).system
    assert system is not None
    study = Study(system)
    by_id = {wire.id: wire for wire in chains(study).conductors()}
    for pull in record(name).pulls:
        for wire, lies in zip(pull.wires, pull.lie, strict=True):
            assert lies == (state_of(study, by_id[wire]) in far), wire


def test_a_wire_that_lies_there_has_a_ticked_box() -> None:
    said = texts(drawn("foxglove", "A3"))
    assert "☑L20B16" in said
    assert "☐" in said


def test_the_list_to_pull_by_goes_by_the_ways_from_their_beginning() -> None:
    """A wire of one way is listed from the end that the file names first, whatever its own."""
    pulls = record("larkspur").pulls
    lead = next(p for p in pulls if "K2B2" in p.marks)
    assert (lead.ways, lead.start, lead.stop) == ("1 starter cable", "starter", "starter contactor")
    assert lead.length == "3 ft 8 in"
    servo = next(p for p in pulls if "U124A22" in p.marks)
    assert servo.ways == "3 + 11 signals, 12"
    assert servo.marks == ("U124A22", "U125A22", "U126A22")
    assert (servo.start, servo.stop) == ("autopilot computer, J1", "pitch servo, J1")


def test_cores_and_pairs_are_told_in_the_list_to_pull_by() -> None:
    """Foxglove's R10A to R10D are one cable; Yarrow's landing light is led by a twisted pair."""
    said = {
        mark: besides
        for name in ("foxglove", "yarrow", "thistledown")
        for pull in record(name).pulls
        for mark, besides in zip(pull.marks, pull.besides, strict=True)
    }
    assert [said[f"R10{core}20"] for core in "ABCD"] == ["", "", "", "(one shielded cable)"]
    assert said["M14B10"] == "(twist with M14C10N)"
    assert said["M14C10N"] == "(twist with M14B10)"
    assert said["R8B22"] == "(one cable)"


def test_wires_of_one_cable_on_two_rows_name_each_other_and_a_coax_its_type() -> None:
    """Thistledown's R7A22 and R7B22N were each `one cable`: a builder pulled two."""
    said: dict[tuple[str, str], str] = {}
    for name in ("thistledown", "foxglove"):
        for pull in record(name).pulls:
            for mark, besides in zip(pull.marks, pull.besides, strict=True):
                said[name, mark] = besides
    assert said["thistledown", "R7A22"] == "(one cable with R7B22N)"
    assert said["thistledown", "R7B22N"] == "(one cable with R7A22)"
    assert said["foxglove", "R15A-"] == "(RG-400)"
    assert said["foxglove", "R13A20"] == "(spare)"
    assert said["foxglove", "R13B20"] == "(spare, one cable)"


@pytest.mark.parametrize("name", NAMES)
def test_what_lies_in_ways_that_close_with_a_zone_comes_first_zone_by_zone(name: str) -> None:
    """So that all of it is found together before the skin goes on."""
    document = study_of(name).document
    places = [set(zone.places) for zone in document.zones.values()]
    order = []
    for pull in record(name).pulls:
        numbers = [int(n) for n in re.findall(r"\d+(?= |,|$)", pull.ways)]
        ends = {end for n in numbers for end in document.ways[n - 1].between}
        order.append(next((k for k, own in enumerate(places) if ends & own), len(places)))
    assert order == sorted(order)
    assert len(set(order)) > 1


def test_a_switch_on_no_panel_is_listed_at_its_place() -> None:
    """Foxglove's TRIM sits between the seats; the list said that switches are not in it."""
    assert ", TRIM, " in f", {dict(record('foxglove').equipment)['seats and sticks']}, "


def test_the_key_does_not_call_an_empty_way_unknown() -> None:
    """Nothing lies on a way of Larkspur; every thickness is known."""
    assert any(way.diameter_m is None for way in record("larkspur").ways)
    assert EMPTY in signs_of(record("larkspur"))
    assert UNKNOWN not in signs_of(record("larkspur"))


@pytest.mark.parametrize("size", SIZES)
def test_very_many_wires_to_pull_go_on_on_further_sheets(size: Size) -> None:
    one = record("thistledown")
    many = tuple(f"L{n}A22" for n in range(1, 1500))
    pulls = (
        replace(
            one.pulls[0], marks=many, wires=many, lie=(False,) * len(many), besides=(), cables=()
        ),
        *one.pulls[1:],
    )
    sheets = routes(replace(one, pulls=pulls, size=size))
    assert faults(sheets) == []
    assert "L1499A22" in texts(sheets)


def test_a_sensor_away_from_its_place_is_joined_to_it() -> None:
    """Larkspur's magnetometers lie aft of the way in the leading edge that their wires leave."""
    sheet = drawn("larkspur", "A3")[0]
    ties = {i.ref: i for i in sheet.items if i.role == "tie"}
    assert set(ties) == {"magnetometer-1", "magnetometer-2"}
    (bay,) = [i.box for i in sheet.items if i.role == "place" and i.ref == "right-bay"]
    middle = ((bay[0] + bay[2]) / 2, (bay[1] + bay[3]) / 2)
    for tie in ties.values():
        assert math.dist(tie.segments[0][0], middle) == pytest.approx(
            (bay[2] - bay[0]) / 2, abs=0.2
        )


def test_holes_stand_on_their_way_as_wide_as_they_are() -> None:
    """Larkspur's way 12 passes one of 38 mm, with a grommet; its size stands beside it."""
    sheet = drawn("larkspur", "A3")[0]
    head = next(i.text for i in sheet.items if i.text.startswith("Bundles, holes"))
    factor = float(head.rpartition("×")[2])
    one, two = (i for i in sheet.items if i.role == "hole" and i.ref == "way 12")
    assert math.dist(one.segments[0][0], two.segments[0][0]) == pytest.approx(38 * factor)
    assert sum(i.role == "grommet" and i.ref == "way 12" for i in sheet.items) == 2
    assert any(i.text == "hole ⌀ 38 mm" and i.ref == "way 12" for i in sheet.items)


BAR_MM = 0.25
"""Half the thickness of the bars beside a hole."""


@pytest.mark.parametrize("name", NAMES)
def test_no_hole_hides_another_nor_lies_under_a_place(name: str) -> None:
    """Yarrow's way 2 had half its grommet under way 4's, Foxglove's way 8 its one under way 6."""
    seen = 0
    for sheet in drawn(name, record(name).size):
        holes = [i for i in sheet.items if i.role == "hole"]
        for one in holes:
            (bar,) = one.segments
            for other in sheet.items:
                if other.role not in ("hole", "place", "sensor") or other is one:
                    continue
                apart = min(segments_mm(bar, ends) for ends in edges(other))
                half = other.ink.width_mm / 2 if isinstance(other.ink, Line) else 0.0
                assert apart > half + BAR_MM, (sheet.title.label, one.ref, other.ref)
            seen += 1
    assert seen >= 4


def edges(item: Item) -> Sequence[tuple[Point, Point]]:
    """The straight pieces of an item, of a mark those of the box around it."""
    x0, y0, x1, y1 = item.box
    around = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
    return item.segments if item.role in ("hole", "way") else tuple(pairwise(around))


def test_every_place_of_a_view_has_a_mark_of_its_own() -> None:
    """Foxglove's seats lie 3 in aft of the cabin roof: a way led to a place that was none."""
    sheet = drawn("foxglove", "Tabloid")[0]
    marked = {i.ref for i in sheet.items if i.role == "place"}
    assert marked == {p.id for p in record("foxglove").places}


def test_a_detail_shows_what_crowds_larger_and_names_it_there_alone() -> None:
    sheet = drawn("larkspur", "A3")[0]
    whole = float(
        next(i.text for i in sheet.items if i.text.startswith("From above")).split(":")[1]
    )
    detail = float(next(i.text for i in sheet.items if i.text.startswith("Detail A")).split(":")[1])
    assert whole / detail >= 1.4
    frame, larger = (i.box for i in sheet.items if i.role == "detail")
    names = [i for i in sheet.items if i.text == "front seats and spar"]
    assert len(names) == 1
    assert larger[0] < names[0].box[0] < larger[2]
    assert larger[1] < names[0].box[1] < larger[3]
    marks_of = [i.box for i in sheet.items if i.role == "place" and i.ref == "cabin"]
    assert len(marks_of) == 2
    assert frame[0] < marks_of[0][0] < frame[2]
    assert any(i.text.startswith("8 to left wing tip") for i in sheet.items)


@pytest.mark.parametrize(("name", "inside"), [("thistledown", "wheel bay"), ("yarrow", "firewall")])
def test_a_small_map_has_its_crowded_part_larger_too(name: str, inside: str) -> None:
    """On the builder's own paper: a sailplane's from the side, under that view."""
    sheet = routes(record(name))[0]
    frame, larger = (i.box for i in sheet.items if i.role == "detail")
    (text,) = (i for i in sheet.items if i.text == inside)
    assert larger[0] < text.box[0] < larger[2]
    assert larger[1] < text.box[1] < larger[3]
    assert larger[2] - larger[0] > 1.4 * (frame[2] - frame[0])


@pytest.mark.parametrize("name", NAMES)
def test_how_to_read_it_stands_in_the_map(name: str) -> None:
    """That ways are drawn apart, not where they lie, has to be read before one drills."""
    sheets = routes(record(name))
    assert "side by side where one would lie on another" in texts(sheets[:1])
    assert texts(sheets).count("Places are where the file has them") == 1


def test_a_tube_is_seen_in_the_zone_that_closes_it() -> None:
    sheet = routes(record("yarrow"))[0]
    zones = {layer(i) for i in sheet.items if i.role == "zone"}
    tubes = {layer(i) for i in sheet.items if i.role == "tube"}
    assert max(zones) < min(tubes)


def test_the_list_to_pull_by_says_what_wires_go_through() -> None:
    """Of a way with holes for its bundles the one of theirs; a tube's size behind its ways."""
    pulls = {mark: pull.passes for pull in record("larkspur").pulls for mark in pull.marks}
    assert pulls["P10B22"] == "2: 32"
    assert pulls["Q1B22"] == "5: 16"
    assert pulls["C4B22"] == "5: 25"
    assert pulls["L21C20"] == "9, 10 T25"
    assert pulls["P14B14"] == "12: 38"
    assert pulls["K2B2"] == ""


def test_an_outline_with_a_point_far_off_is_told() -> None:
    """It makes a map 1:400, of which nobody sees why."""
    one = record("yarrow")
    line = one.outlines[0]
    far = replace(line, points=(*line.points, (400.0, 1.0, 0.0)))
    said = texts(routes(replace(one, outlines=(far, *one.outlines[1:]))))
    assert "The outline reaches station 1312 ft 4 in, far from all places" in said
    assert "far from all places" not in texts(routes(one))


def above(points: Sequence[Point]) -> Sequence[Point]:
    """A line of a way from its lower left to its upper right end."""
    return points if points[0] <= points[-1] else points[::-1]


def out(points: Sequence[Point]) -> float:
    """How far a line runs beside the straight one between its ends, left of it less than 0."""
    (ax, ay), (bx, by) = points[0], points[-1]
    x, y = points[1]
    return ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / math.dist(points[0], points[-1])


@pytest.mark.parametrize("name", NAMES)
def test_ways_lie_side_by_side_in_a_detail_as_they_do_in_its_view(name: str) -> None:
    """A builder who goes by either has way 4 left of way 3, or right of it, in both."""
    for size in SIZES:
        sheet = drawn(name, size)[0]
        frames = [i.box for i in sheet.items if i.role == "detail"][1:]
        for frame in frames:
            lines: dict[bool, dict[str, Sequence[Point]]] = {True: {}, False: {}}
            for item in sheet.items:
                if item.role == "way" and item.ref:
                    points = [item.segments[0][0], *(b for _, b in item.segments)]
                    x, y = points[0]
                    larger = frame[0] < x < frame[2] and frame[1] < y < frame[3]
                    lines[larger].setdefault(item.ref, above(points))
            both = lines[True].keys() & lines[False].keys()
            assert len(both) > 2
            for way in both:
                seen, large = out(lines[False][way]), out(lines[True][way])
                assert large == pytest.approx(0, abs=0.01) or large * seen > 0, (size, way)
            for a, b in combinations(sorted(both), 2):
                seen, large = (
                    out(lines[where][a]) - out(lines[where][b]) for where in (False, True)
                )
                ends = [{*record_ends(name, way)} for way in (a, b)]
                if ends[0] == ends[1]:
                    assert seen * large > 0, (size, a, b)


def record_ends(name: str, ref: str) -> tuple[str, str]:
    """The two places of a way."""
    return next((w.a, w.b) for w in record(name).ways if f"way {w.number}" == ref)


@pytest.mark.parametrize("name", NAMES)
def test_everything_heavy_is_listed_at_its_place_and_what_is_not_is_said(name: str) -> None:
    document = study_of(name).document
    listed = {place.removesuffix(", continued"): "" for place, _ in record(name).equipment}
    for place, things in record(name).equipment:
        listed[place.removesuffix(", continued")] += f", {things}, "
    title = study_of(name).system.title
    for section in ("sources", "panels", "equipment", "plugs", "grounds"):
        for one, entry in getattr(document, section).items():
            held = coil_loads(study_of(name)).get(one, "")
            here = listed[title("places", entry.place)]
            held_here = bool(held) and f", {title('switches', held)}, " in here
            assert f", {title(section, one)}, " in here or held_here, one
    for one, poles in contacts(study_of(name)).items():
        for _, part in poles:
            if part.kind in COILED:
                here = listed[title("places", part.place)]
                assert f", {title('switches', one)}, " in here
    assert "Not listed here: breakers and fuses, switches on panels" in texts(drawn(name, "A3"))


@pytest.mark.parametrize("name", NAMES)
def test_each_bundle_of_a_way_has_its_diameter(name: str) -> None:
    """That of a bundle with a hole of its own is what the check of that hole counts with."""
    seen = 0
    for way in record(name).ways:
        entry = study_of(name).document.ways[way.number - 1]
        passage = passages(study_of(name)).get(way.number - 1)
        if passage is None or entry.bundles < 2:
            assert not way.lying
            continue
        assert "⌀" in way.lying
        of_holes = zip(entry.holes, passage.openings, strict=False)
        for hole, opening in of_holes:
            if hole.bundle:
                said = f"{hole.bundle} {opening.wires} ⌀ {opening.passing_m * 1000:.1f}"
                assert said in way.lying.split(", ")
                seen += 1
    assert seen or name not in ("larkspur", "foxglove")


@pytest.mark.parametrize("name", NAMES)
def test_each_hole_and_tube_says_how_full_it_is_as_its_check_counts(name: str) -> None:
    """With its grommet; the size in inches, too, where the builder measures in these."""
    study, said = study_of(name), texts(drawn(name, record(name).size))
    seen = 0
    for way in record(name).ways:
        passage = passages(study).get(way.number - 1)
        openings = passage.openings if passage else ()
        for passed, opening in zip(way.passed, openings, strict=True):
            part = opening.needed_m / opening.given_m
            assert passed.needs == f"{opening.needed_m * 1000:.1f} mm, {100 * part:.0f} %"
            assert passed.needs in said
            assert opening.full == pytest.approx(part)
            seen += 1
            if study.system.about.units == "feet":
                assert f"mm ({opening.given_m / 0.0254:.2f} in)" in said
    assert seen > 3
    needed = [f"{f.limit:.1f} mm" for f in bundle_hole(study) if f.limit is not None]
    told = [p.needs.partition(",")[0] for w in record(name).ways for p in w.passed if p.needs]
    assert needed == told


def test_how_full_a_hole_is_cannot_be_told_without_the_diameter_of_a_cable() -> None:
    found = passages(study_of("thistledown"))[3]
    unknown = replace(found, unknown=("mystery-cable",))
    assert _needs(unknown, found.openings[0]) == "cannot tell"
    assert _needs(found, found.openings[0]) == "11.0 mm, 92 %"


@pytest.mark.parametrize("name", NAMES)
def test_clamps_that_the_file_does_not_give_are_said_so(name: str) -> None:
    said = texts(drawn(name, record(name).size))
    far = "0.60 m" if name == "thistledown" else "2 ft"
    assert f"Clamps: not in the file; at most {far} apart (AC 43.13-1B 11-96)" in said


def test_clamps_that_the_file_gives_are_told(tmp_path: Path) -> None:
    shutil.copytree(SYSTEMS / "yarrow", tmp_path / "yarrow")
    file = tmp_path / "yarrow/places.yaml"
    text = file.read_text()
    assert "ways:\n  - {" in text
    file.write_text(text.replace("ways:\n  - {", "ways:\n  - {supports: 16 inch, ", 1))
    system = read(tmp_path / "yarrow").system
    assert system is not None
    found = route_record(Study(system))
    assert found is not None
    said = next(note for note in found.notes if note.startswith("Clamps"))
    assert "no further apart than way 1 1 ft 4 in; of other ways not in the file" in said


@pytest.mark.parametrize("name", NAMES)
def test_the_lengths_of_ways_are_said_to_be_given(name: str) -> None:
    """Or to be straight, where the file has none."""
    assert "Lengths of ways: as the file gives them." in texts(drawn(name, record(name).size))
    ways = record(name).ways
    one = replace(record(name), ways=(replace(ways[0], given=False), *ways[1:]))
    assert "gives them, of 1 straight from place to place." in texts(routes(one))
    none = replace(record(name), ways=tuple(replace(way, given=False) for way in ways))
    assert "Lengths of ways: straight from place to place." in texts(routes(none))


def test_what_is_said_in_plain_words() -> None:
    """*Full* was read as of areas, *together* as a sum, the key's grommet as a second bulkhead."""
    assert NEEDED == "needed ⌀, of ⌀"
    said = texts(drawn("larkspur", record("larkspur").size))
    for text in (
        "around all", "what closes first on top", "grommet, its spot not given",
        "sensor away from its place", "3 ft 6 in from its place",
    ):  # fmt: skip
        assert text in said, text
    lists = texts(drawn("foxglove", record("foxglove").size))
    assert "As cut: the file gives that length as cut." in lists
    assert "As cut:" not in said
    narrow = texts(drawn("yarrow", record("yarrow").size))  # as much as there is room for
    assert "sensor off its place" in narrow
    assert "grommet, spot" in narrow


def test_a_zone_whose_ways_are_not_drawn_has_no_leader() -> None:
    """Larkspur's z3 led into the shade of z4, for its way runs away from the eye."""
    top, side, *_ = drawn("larkspur", record("larkspur").size)
    assert not any(i.text.startswith("z3") for i in top.items)
    assert any(i.text.startswith("z3") for i in side.items)
    assert any(i.text.startswith("z4") for i in top.items)


def test_a_length_that_was_cut_is_told_in_the_list_to_pull_by() -> None:
    rows = {mark: pull.length for pull in record("foxglove").pulls for mark in pull.marks}
    assert rows["R16A-"] == "6 ft 2 in, as cut"
    assert rows["P13A8N"] == "8 ft 11 in"


@pytest.mark.parametrize("name", NAMES)
def test_the_table_of_ways_is_whole_and_says_when_zones_close(name: str) -> None:
    sheets = drawn(name, record(name).size)
    assert sum(NEEDED in (i.text for i in s.items) for s in sheets) == 1
    for zone in record(name).zones:
        assert f"{zone.number} {zone.label}, {zone.closes}." in texts(sheets)


@pytest.mark.parametrize("name", NAMES)
def test_samples_of_thickness_stand_on_every_sheet_with_a_view(name: str) -> None:
    """On small paper, too, as thick as the printed factor says."""
    sheets = [s for s in routes(record(name)) if any(", 1:" in i.text for i in s.items)]
    assert sheets
    for sheet in sheets:
        top = sheet.block[1]
        said = [i for i in sheet.items if i.box[1] > top and i.text.startswith("⌀ ")]
        said = [i for i in said if i.text.endswith(" mm")]
        assert said
        head = next(i.text for i in sheet.items if " × " in i.text and i.box[1] > top)
        factor = float(head.rpartition("×")[2])
        for one in said:
            middle, size = (one.box[1] + one.box[3]) / 2, float(one.text.split()[1])
            assert any(
                i.box[2] <= one.box[0] and abs((i.box[1] + i.box[3]) / 2 - middle) < 0.5
                and isinstance(i.ink, Line) and i.ink.width_mm == pytest.approx(size * factor)
                for i in sheet.items
            )  # fmt: skip


def test_the_airframe_is_drawn_where_the_file_gives_it_and_breaks_at_texts() -> None:
    sheets = drawn("larkspur", "A3")
    lines = [i for i in sheets[0].items if i.role == "outline"]
    assert lines
    boxes = [i.box for i in sheets[0].items if i.kind == "text"]
    for line in lines:
        for ends in line.segments:
            assert not any(inside(ends, box) for box in boxes)
    bare = routes(replace(record("larkspur"), outlines=()))
    assert not any(i.role == "outline" for s in bare for i in s.items)
    assert "gives no outline of the airframe" in texts(bare)
    assert "gives no outline of the airframe" not in texts(sheets)


@pytest.mark.parametrize("name", NAMES)
def test_a_zone_lies_over_all_of_a_way_that_closes_with_it(name: str) -> None:
    """Half of each wing's way was shaded: the table has all of it close with the wing."""
    one, seen = record(name), 0
    sheet = routes(one)[0]
    areas = [i.ink.points for i in sheet.items
             if i.role == "zone" and isinstance(i.ink, Line)]  # fmt: skip
    for way in one.ways:
        lines = [i.ink.points for i in sheet.items
                 if i.ref == f"way {way.number}" and i.role == "way" and isinstance(i.ink, Line)
                 ]  # fmt: skip
        closes = any({way.a, way.b} & set(z.places) for z in one.zones)
        for line in lines[:1]:  # the detail has no zone of a place beyond it
            assert (line in areas) == closes, way
            seen += closes
    assert seen


@pytest.mark.parametrize("name", NAMES)
def test_each_zone_has_its_number_in_the_map(name: str) -> None:
    """The list to pull by says z1; the map had no such name."""
    one = record(name)
    said = texts([s for s in routes(one) if any(", 1:" in i.text for i in s.items)])
    for zone in one.zones:
        assert zone.number in said.replace(":", "").split()


def test_the_cores_of_a_cable_have_one_box() -> None:
    """Who pulls a cable of four ticked four boxes, or one of them."""
    said = texts(drawn("larkspur", "A3"))
    assert "☐R31A22 R31B22 R31C22 R31D22" in re.sub(r" +", " ", said.replace(" \n", " "))
    assert "☐U76A22 ☐U77A22" in said


def test_a_cable_of_which_a_core_differs_keeps_its_boxes() -> None:
    """A tick for the one would say that the other lies there."""
    one = record("larkspur")
    pull = next(p for p in one.pulls if "R31A22" in p.marks)
    mixed = replace(pull, lie=(True, *pull.lie[1:]))
    said = texts(routes(replace(one, pulls=(mixed,))))
    assert all(box in said for box in ("☑R31A22", "☐R31B22", "☐R31C22", "☐R31D22"))


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_of_the_list_to_pull_by_has_its_heading_and_what_lengths_are(name: str) -> None:
    """Larkspur's R4 began with a table of which it did not say what it is."""
    sheets = [s for s in routes(record(name)) if any("☐" in i.text[:1] for i in s.items)]
    assert sheets
    for sheet in sheets:
        assert any(i.text.startswith("To pull by") for i in sheet.items)
        assert "Lengths: no strip-back" in " ".join(i.text for i in sheet.items).replace("  ", " ")


def test_a_list_of_places_that_goes_on_says_what_it_is() -> None:
    """Yarrow's equipment went on on R3 with a dash."""
    sheets = routes(record("yarrow"))
    assert any(i.text == "Equipment at its place" for i in sheets[1].items)
    assert any(i.text == "Equipment at its place, continued" for i in sheets[2].items)


def test_lines_are_as_thick_as_their_bundles_by_the_printed_factor() -> None:
    sheet = drawn("larkspur", "A3")[0]
    head = next(i.text for i in sheet.items if i.text.startswith("Bundles, holes"))
    factor = float(head.rpartition("×")[2])
    by_ref = {f"way {w.number}": w for w in record("larkspur").ways}
    seen = 0
    for item in sheet.items:
        if item.role != "way" or not isinstance(item.ink, Line):
            continue
        way = by_ref[item.ref]
        if way.diameter_m is not None:
            seen += 1
            assert item.ink.width_mm == pytest.approx(way.diameter_m * 1000 * factor)
    assert seen > 8


def test_a_place_without_a_station_is_listed_with_its_ways() -> None:
    one = record("thistledown")
    lost = tuple(replace(p, at_m=None) if p.id == "fin" else p for p in one.places)
    assert "not drawn: fin; nor way 5, which end there" in texts(
        routes(replace(one, places=lost))
    ).replace("  ", " ")


def test_drawing_again_gives_the_same_bytes() -> None:
    one = "".join(to_svg(s) for s in routes(record("foxglove")))
    two = "".join(to_svg(s) for s in routes(record("foxglove")))
    assert one == two


def test_round_steps_and_bars() -> None:
    assert nice_step(13.0) == 20.0
    assert [text for _, text in ticks(0.0, 2.6, 0.0254, 0.5)] == [
        "0",
        "20",
        "40",
        "60",
        "80",
        "100",
    ]
    half_mm, text = bar(25, metric=True)
    assert text == "1 m"
    assert 2 * half_mm == pytest.approx(1000 / 25)


@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_of_lists_has_no_scale_and_no_key_of_the_map(name: str) -> None:
    """And a sheet with a view has both; `scale as shown` on a list is looked for in vain."""
    sheets = routes(record(name))
    kinds = set()
    for sheet in sheets:
        view = any(", 1:" in item.text for item in sheet.items)
        assert (sheet.title.note == "scale as shown") == view, sheet.title.label
        assert any(item.text == "place" for item in sheet.items) == view
        kinds.add(view)
    assert kinds == {True, False}


def middles(name: str, title: str) -> dict[str, tuple[Point, Point]]:
    """Way -> its straight middle and the middle of its line, in the view of that title."""
    for sheet in drawn(name, "Tabloid"):
        heads = sorted((i.box[1], i.text) for i in sheet.items if ", 1:" in i.text)
        for k, (top, text) in enumerate(heads):
            low = heads[k + 1][0] if k + 1 < len(heads) else math.inf
            if text.startswith(title):
                lines = {i.ref: i.ink.points for i in sheet.items
                         if i.role == "way" and isinstance(i.ink, Line)
                         and top < i.box[1] < low}  # fmt: skip
                return {ref: (_mid(p[0], p[-1]), _mid(p[1], p[-2])) for ref, p in lines.items()
                        if len(p) > 2}  # fmt: skip
    return {}


def _mid(a: Point, b: Point) -> Point:
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def test_a_way_lies_on_one_side_from_above_and_from_behind() -> None:
    """Foxglove's way 8 lay right of the others on one sheet and left of them on the next."""
    below = middles("foxglove", "From behind")["way 8"]
    above = next(i.ink.points for i in drawn("foxglove", "Tabloid")[0].items
                 if i.ref == "way 8" and i.role == "way" and isinstance(i.ink, Line))  # fmt: skip
    assert below[1][0] > below[0][0] + 1.0
    assert max(x for x, _ in above) > max(above[0][0], above[-1][0]) + 1.0


def test_the_frame_of_a_detail_is_clear_of_ways_along_it() -> None:
    """Foxglove's broken edge lay on way 3."""
    sheet = drawn("foxglove", "Tabloid")[0]
    frame = next(i.box for i in sheet.items if i.role == "detail")
    for item in sheet.items:
        if item.role == "way" and isinstance(item.ink, Line):
            for (ax, ay), (bx, by) in pairwise(item.ink.points):
                along = abs(bx - ax) < 0.2 * abs(by - ay)
                if along and min(max(ay, by), frame[3]) - max(min(ay, by), frame[1]) > 4.0:
                    for edge in (frame[0], frame[2]):
                        apart = min(abs(ax - edge), abs(bx - edge)) - item.ink.width_mm / 2
                        assert apart > 1.9, item.ref


def leaders_across(name: str) -> list[str]:
    """Leaders on a system's map that cross the line of a way."""
    found = []
    for sheet in drawn(name, record(name).size):
        ways = [i for i in sheet.items if i.role == "way" and isinstance(i.ink, Line)]
        for one in (i for i in sheet.items if i.role == "leader" and isinstance(i.ink, Line)):
            assert isinstance(one.ink, Line)
            a, b = one.ink.points[0], one.ink.points[-1]
            start = (a[0] + (b[0] - a[0]) * 0.1, a[1] + (b[1] - a[1]) * 0.1)
            for way in ways:
                assert isinstance(way.ink, Line)
                if any(segments_mm((start, b), ends) == 0.0 for ends in pairwise(way.ink.points)):
                    found.append(f"{sheet.title.number} {way.ref}")
    return found


@pytest.mark.parametrize(
    ("name", "most"), [("foxglove", 2), ("larkspur", 1), ("thistledown", 0), ("yarrow", 1)]
)
def test_leaders_cross_no_way_where_another_text_can_give_way(name: str, most: int) -> None:
    assert len(leaders_across(name)) <= most, leaders_across(name)


def test_texts_are_shortened_only_where_not_all_find_room() -> None:
    room = (0.0, 0.0, 60.0, 20.0)
    lines = (Thick(ends=((0.0, 10.0), (60.0, 10.0)), half_mm=0.5),)

    def named(wide: float) -> tuple[Label, ...]:
        return tuple(
            Label(id=f"t{k}", wide_mm=wide, high_mm=4.0, anchors=((10.0 + 4.0 * k, 10.0),))
            for k in range(10)
        )

    for lengths, which in (((30.0, 8.0, 5.0), 1), ((8.0, 5.0), 0)):
        sets = [named(wide) for wide in lengths]
        found, places = stand_shortened(sets, room, marks=(), lines=lines)
        assert found == which
        assert places == stand(sets[which], room, marks=(), lines=lines)
        assert stand_shortened(sets, room, marks=(), lines=lines, whole=True) == (which, places)
        for one in places.values():
            assert one.box[3] <= 10.0 - 0.5 or one.box[1] >= 10.0 + 0.5


def test_only_whole_sets_of_texts_stand_where_nothing_else_is_asked_for() -> None:
    room = (0.0, 0.0, 30.0, 20.0)
    lines = (Thick(ends=((0.0, 10.0), (30.0, 10.0)), half_mm=0.5),)
    for wide, count in ((40.0, 1), (14.0, 30)):  # one without a place of its own; too many
        sets = [[Label(id=f"t{k}", wide_mm=wide, high_mm=4.0, anchors=((15.0, 10.0),))
                 for k in range(count)]]  # fmt: skip
        _, places = stand_shortened(sets, room, marks=(), lines=lines)
        assert len(places) < count
        assert stand_shortened(sets, room, marks=(), lines=lines, whole=True) == (0, {})


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.1, 2.0, 2.9])
def test_of_two_sides_that_are_as_good_a_line_takes_the_first(turn: float) -> None:
    """The last digit of a sum chose the side."""
    a = (100.0 * math.cos(turn), 100.0 * math.sin(turn))
    strands = tuple(
        Strand(id=str(k), a=(0.0, 0.0), b=a, width_mm=0.6, core_mm=0.3) for k in range(5)
    )
    found = lanes(strands, ((0.0, 0.0), a), 1.1)
    assert [lane_of(line).side for line in found.values()] == [0, 1, -1, 1, -1]


@pytest.mark.parametrize(
    ("name", "way", "others"), [("larkspur", 11, (14,)), ("foxglove", 4, (3, 8))]
)
def test_a_way_lies_on_the_side_that_its_name_tells(
    name: str, way: int, others: Sequence[int]
) -> None:
    """Larkspur's left sill lay right of the rest, Foxglove's left door post between two others."""
    lines = {i.ref: i.ink.points for i in drawn(name, record(name).size)[0].items[::-1]
             if i.role == "way" and isinstance(i.ink, Line)}  # fmt: skip
    reached = {ref: [_mid(a, b)[0] for a, b in pairwise(points)] for ref, points in lines.items()}
    own = min(reached[f"way {way}"])
    assert next(w for w in record(name).ways if w.number == way).side == -1
    for other in others:
        assert own < min(reached[f"way {other}"]) + 0.01
        middle = len(reached[f"way {other}"]) // 2
        far = reached[f"way {way}"][len(reached[f"way {way}"]) // 2]
        assert far < reached[f"way {other}"][middle] - 0.5, other


@pytest.mark.parametrize(("name", "way"), [("larkspur", 2), ("foxglove", 2), ("thistledown", 3)])
def test_holes_that_each_pass_a_bundle_lie_abreast(name: str, way: int) -> None:
    """They were drawn one behind the other, as if all went through both."""
    found = 0
    passed = next(w.passed for w in record(name).ways if w.number == way)
    assert [p.bundle for p in passed] == ["left", "right"] or name == "thistledown"
    for sheet in drawn(name, record(name).size):
        strands = [i.ink for i in sheet.items if i.role == "strand" and i.ref == f"way {way}"]
        for one, two in zip(strands[::2], strands[1::2], strict=True):
            assert isinstance(one, Line)
            assert isinstance(two, Line)
            ends = (one.points[1], one.points[2], two.points[1], two.points[2])
            (ax, ay), (bx, by) = _mid(*ends[:2]), _mid(*ends[2:])
            along = (ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])
            assert abs((bx - ax) * along[0] + (by - ay) * along[1]) < 0.01
            assert math.dist((ax, ay), (bx, by)) > (one.width_mm + two.width_mm) / 2
            assert min(layer(i) for i in sheet.items if i.role in ("split", "strand")) > max(
                layer(i) for i in sheet.items if i.role == "way"
            )
            found += 1
    assert found


@pytest.mark.parametrize(("name", "way"), [("larkspur", 5), ("larkspur", 2), ("foxglove", 2)])
def test_left_and_right_holes_are_one_behind_the_other_from_the_side(name: str, way: int) -> None:
    """They stood one over the other, four half grommets on Larkspur's short spar tunnel."""
    sheet = drawn(name, "A3")[1]
    low = next((i.box[1] for i in sheet.items if i.text.startswith("From behind")), 999.0)
    here = [i for i in sheet.items if i.ref == f"way {way}" and i.box[1] < low]
    assert not [i for i in here if i.role == "strand"]
    assert sum(i.role == "hole" for i in here) == 2
    sizes = [p.text for w in record(name).ways if w.number == way for p in w.passed]
    shown = [i.text for i in here if i.text in sizes]
    assert shown == sizes or way == 2  # named in the view from above


def test_a_hole_stands_away_from_other_ways_where_there_is_room() -> None:
    """A half of the grommet of Foxglove's way 8 stood at the end of way 3."""
    sheet = drawn("foxglove", "Tabloid")[1]
    low = next(i.box[1] for i in sheet.items if i.text.startswith("From behind"))
    holes = [i for i in sheet.items if i.role == "hole" and i.ref == "way 8" and i.box[3] < low]
    others = [i for i in sheet.items if i.role == "way" and i.ref != "way 8" and i.box[3] < low]
    assert len(holes) == 2
    for hole in holes:
        assert isinstance(hole.ink, Line)
        for other in others:
            assert isinstance(other.ink, Line)
            apart = min(segments_mm(hole.ink.points[:2], e) for e in pairwise(other.ink.points))  # type: ignore[arg-type]
            assert apart - other.ink.width_mm / 2 > 2.5, other.ref


def test_the_hole_of_the_left_bundle_is_on_the_left() -> None:
    """In the view from above, nose up, where left of the airframe is left on paper."""
    sheet = drawn("larkspur", "A3")[0]
    left, right = (next(i.box for i in sheet.items if i.text == f"hole ⌀ 32 mm, {side}")
                   for side in ("left", "right"))  # fmt: skip
    assert left[2] < right[0]


def test_two_places_at_one_mark_are_told_as_two() -> None:
    """Yarrow's `firewall` over `right firewall grommet` read as one name."""
    said = [i.text for i in routes(record("yarrow"))[1].items]
    assert "firewall, and" in said


@pytest.mark.parametrize("name", NAMES)
def test_a_detail_has_the_texts_of_its_ways_and_holes(name: str) -> None:
    """Yarrow's had numbers alone, though a smaller part of the view has room for all."""
    sheet = routes(record(name))[0]
    assert any(i.text.startswith("Detail A") for i in sheet.items)
    assert "are in the table" not in texts([sheet])
    for size in {p.text for w in record(name).ways for p in w.passed if p.kind == "hole"}:
        shown = any(i.text.startswith(size.split(",")[0]) for i in sheet.items)
        assert shown or name == "larkspur"


@pytest.mark.parametrize("name", NAMES)
def test_ways_that_are_not_drawn_straight_are_told(name: str) -> None:
    """Yarrow's way 4 sagged beside a note that ways are straight."""
    bent = {i.ref.removeprefix("way ") for s in routes(record(name)) for i in s.items
            if i.role == "way" and isinstance(i.ink, Line) and len(i.ink.points) > 2}  # fmt: skip
    said = re.sub(r" +", " ", texts(routes(record(name))))
    told = said.partition("Ways drawn beside their straight line")[2].partition("Lengths are")[0]
    assert bent
    assert bent <= set(re.findall(r"\d+", told))
