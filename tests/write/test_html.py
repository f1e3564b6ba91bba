"""The book's page: safe, complete without scripts, reachable by ear and keyboard."""

import base64
import hashlib
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from elec.drawings.ink import Picture
from elec.drawings.sheet import Sheet, TitleBlock
from elec.finding import SIGNS
from elec.pages.document import Book, Figure, FindingList, Section
from elec.pages.table import Column, Table
from elec.write.html_paper import css_text
from elec.write.register import Options
from elec.write.to_html import _SYNTAX, _environment, _Page, to_html
from elec.write.values import HARD_SPACE
from tests.write.sample import CHECKING, FINDINGS, HOSTILE, WIRES, book, power_sheet

VOID = {"meta", "input", "br", "link", "img", "hr"}


class Tree(HTMLParser):
    """Collects what a browser would see: elements with their attributes, and that tags close."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text: list[str] = []
        self.scripts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] == "script":
            if "type" not in self.elements[-1][1]:  # what has a type holds data and never runs
                self.scripts.append(data)
        elif not self.open or self.open[-1] != "style":
            self.text.append(data)

    def having(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


def tree_of(document: Book | Section) -> Tree:
    found = Tree()
    found.feed(to_html(document, Options()).decode())
    assert found.open == []
    return found


@pytest.fixture(scope="module")
def page() -> str:
    return to_html(book(), Options()).decode()


@pytest.fixture(scope="module")
def tree() -> Tree:
    return tree_of(book())


def test_the_policy_is_the_first_line_of_the_head_and_names_the_script(
    page: str, tree: Tree
) -> None:
    assert page.startswith("<!doctype html>")
    head = page[page.index("<head>") + len("<head>") :].lstrip()
    assert head.startswith(
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\';'
    )
    assert len(tree.scripts) == 1
    digest = base64.b64encode(hashlib.sha256(tree.scripts[0].encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in head.partition(">")[0]


def test_nothing_is_fetched_from_outside(page: str, tree: Tree) -> None:
    namespaces = {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
    assert set(re.findall(r"https?://[^\"'\s)<]+", page)) <= namespaces
    for _, attributes in tree.elements:
        for name in ("src", "href", "xlink:href", "action"):
            assert (attributes.get(name) or "#").startswith("#")


def test_builders_text_is_text(page: str, tree: Tree) -> None:
    assert "<script>alert" not in page
    assert HOSTILE in "".join(tree.text)
    assert [a.get("type") for a in tree.having("script")] == ["text/plain", None]
    assert not [name for _, a in tree.elements for name in a if name.startswith("on")]


def test_every_id_is_given_once_and_every_link_leads_somewhere(tree: Tree) -> None:
    ids = [attributes["id"] for _, attributes in tree.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    targets = {(attributes.get("href") or "")[1:] for attributes in tree.having("a")}
    assert targets <= set(ids)
    assert {"summary", "loads", "wire-list", "circuit-nav", "closing"} <= targets


def test_a_link_that_would_lead_nowhere_is_plain_text() -> None:
    alone = tree_of(book().sections[2].sections[0])
    assert "circuit-nav" not in {(a.get("href") or "")[1:] for a in alone.having("a")}
    assert "nav-lights" in " ".join(alone.text)


def test_tables_have_captions_and_scopes_and_scroll_in_a_frame(page: str, tree: Tree) -> None:
    tables = len(tree.having("table"))
    assert tables >= 3
    assert len(tree.having("caption")) == tables
    assert all(a.get("scope") in {"col", "row"} for a in tree.having("th"))
    frames = [a for a in tree.having("div") if a.get("class") == "frame"]
    assert len(frames) >= tables
    assert all(a.get("tabindex") == "0" and a.get("aria-label") for a in frames)


def test_figures_are_named_for_those_who_cannot_see_them(tree: Tree) -> None:
    drawings = tree.having("svg")
    assert len(drawings) == 1
    assert drawings[0]["role"] == "img"
    named = (drawings[0]["aria-labelledby"] or "").split()
    ids = {attributes.get("id"): tag for tag, attributes in tree.elements}
    assert [ids[name] for name in named] == ["title", "desc"]


def test_every_verdict_is_a_word_and_a_sign(tree: Tree) -> None:
    text = " ".join(" ".join(tree.text).split())
    for finding in FINDINGS:
        assert f"{SIGNS[finding.verdict]} {finding.verdict}" in text
    assert len(set(SIGNS.values())) == len(SIGNS)


def test_every_finding_is_in_the_book_also_a_pass(tree: Tree) -> None:
    text = " ".join(tree.text).replace(HARD_SPACE, " ")
    for finding in FINDINGS:
        assert finding.about in text
        assert finding.sentence.splitlines()[0] in text


def test_a_number_opens_to_its_working_without_a_script(page: str) -> None:
    cell = page[page.index('<details class="why"') :]
    cell = cell[: cell.index("</details>")]
    assert "<summary>" in cell
    for part in ("2 × 0.0232 × 4.2672 × 3.2143", "0.6364 V", "lights.yaml:31", "MIL-W-22759/16"):
        assert part in cell


def test_paper_shows_a_working_once_where_a_finding_is_listed_last() -> None:
    first = replace(CHECKING, id="first", blocks=(FindingList(findings=FINDINGS[:1]),))
    both = replace(book(), sections=(first, CHECKING))
    classes = [a.get("class") for a in tree_of(both).having("details")]
    assert classes.count("working again") == 1
    assert classes.index("working again") < classes.index("working")


def test_a_unit_stays_with_its_number(tree: Tree) -> None:
    assert "0.50\u00a0V is allowed for a load" in " ".join(tree.text)


def test_the_unknown_is_marked(page: str) -> None:
    assert page.count('title="not known"') == 4 + 3  # four in the loads, three in the wires


def test_lists_to_tick_have_boxes_also_for_the_pen(tree: Tree) -> None:
    boxes = [a for a in tree.having("input") if a.get("type") == "checkbox"]
    assert len(boxes) == 3
    assert all(a.get("data-tick") for a in boxes)


def test_the_paper_is_the_builders() -> None:
    a4, letter = (
        to_html(document, Options()).decode()
        for document in (book(), replace(book(), paper="Letter"))
    )
    assert "@page upright{size:210mm 297mm;margin:14mm 12mm 16mm 18mm" in a4
    assert "@page upright{size:215.9mm 279.4mm;" in letter
    assert "@page sheet-297-210{size:297mm 210mm;margin:0}" in a4


def test_nothing_prints_below_eight_and_a_half_points(page: str) -> None:
    sizes = [float(size) for size in re.findall(r"(?:font|font-size):[^;}]*?([\d.]+)pt", page)]
    assert sizes
    assert min(sizes) >= 8.5


def test_running_heads_cannot_leave_the_style_sheet() -> None:
    found = to_html(replace(book(), title='</style><script>x()</script>";}'), Options()).decode()
    assert found.count("</style>") == 1
    assert found.count("<script>") == 1


@given(st.text())
def test_text_for_css_is_harmless_and_comes_back(text: str) -> None:
    found = css_text(text)
    assert re.fullmatch(r'"(?:[A-Za-z0-9 ]|\\[0-9a-f]{1,6} )*"', found)
    back = re.sub(r"\\([0-9a-f]{1,6}) ", lambda m: chr(int(m.group(1), 16)), found[1:-1])
    from elec.write.values import one_line

    assert back == one_line(text)


def test_a_section_prints_as_a_small_book() -> None:
    assert "wire-drop" in " ".join(tree_of(CHECKING).text)


def test_a_wide_table_lies_on_its_side_and_a_narrow_one_does_not() -> None:
    page = _Page(book=book())
    assert page.wide(WIRES)
    narrow = Table(id="n", title="n", columns=(Column(key="a", head="A"),), rows=(("x" * 200,),))
    assert page.wide(narrow)  # a single word of 200 characters
    assert not page.wide(replace(narrow, rows=(("x " * 100,),)))


# drawings


def figure(drawing: Sheet | Picture, name: str) -> Figure:
    return Figure(id=name, title="T <&>", drawing=drawing, description="D</svg>")


def linked(sheet_id: str, *links: str) -> Sheet:
    sheet = power_sheet(sheet_id)
    for n, link in enumerate(links):
        sheet.text(40.0, 80.0 + 5 * n, f"to {link}", link=link)
    return sheet


def test_a_sheet_leads_to_another_and_a_dead_link_is_none() -> None:
    one, two = linked("s1", "s2", "s9"), linked("s2", "s1", "s1-P1A4")
    blocks = (figure(one, "one"), figure(two, "two"))
    tree = tree_of(Section(id="s", title="s", blocks=blocks))
    ids = [attributes.get("id") for _, attributes in tree.elements if attributes.get("id")]
    assert len(ids) == len(set(ids))
    assert [a.get("href") for a in tree.having("a")][2:] == ["#two-s2", "#one-s1", "#one-s1-P1A4"]
    assert {"one", "two", "one-s1", "two-s2", "one-s1-P1A4"} <= set(ids)
    assert "to s9" in tree.text


def test_a_sheet_whose_id_begins_with_the_figures_keeps_it() -> None:
    same = figure(power_sheet("f"), "f")
    tree = tree_of(Section(id="s", title="s", blocks=(same, figure(power_sheet("g-1"), "g"))))
    ids = [attributes.get("id") for _, attributes in tree.elements if attributes.get("id")]
    assert ids.count("f") == ids.count("g-1") == ids.count("g") == 1


def test_a_chart_is_named_for_those_who_cannot_see_it() -> None:
    chart = Picture(width_mm=90.0, height_mm=40.0, ink=())
    tree = tree_of(Section(id="s", title="s", blocks=(figure(chart, "c"),)))
    (drawing,) = tree.having("svg")
    assert (drawing["width"], drawing["height"]) == ("90mm", "40mm")
    assert drawing["aria-labelledby"] == "c-chart-title c-chart-desc"
    assert "T <&>" in tree.text


def test_no_text_of_a_drawing_acts() -> None:
    sheet = Sheet(size="A4", title=TitleBlock(title=HOSTILE), id="s", description=HOSTILE)
    sheet.text(40.0, 60.0, HOSTILE, ref=HOSTILE, role="pin", link=HOSTILE)
    sheet.line(((40.0, 70.0), (60.0, 70.0)), ref=HOSTILE, net="n" + HOSTILE, ends=(HOSTILE, ""))
    shown = replace(figure(sheet, HOSTILE), title=HOSTILE, description=HOSTILE)
    other = linked("t", sheet.id)
    blocks = (shown, figure(other, "g"))
    tree = tree_of(Section(id="s", title="s", blocks=blocks))
    assert f"#{HOSTILE}-s" in {a.get("href") for a in tree.having("a")}
    assert len(tree.scripts) == 1
    assert all(tag != "script" or n for n, (tag, _) in enumerate(tree.elements))
    assert HOSTILE in tree.text


def test_templates_lie_compiled_and_broken_ones_are_made_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "compiled"
    monkeypatch.setattr("elec.write.to_html._COMPILED", kept)
    monkeypatch.setattr("sys.dont_write_bytecode", False)
    environment = _environment.__wrapped__

    def names() -> set[str]:
        environment().get_template("blocks.html.j2")
        return {path.name for path in kept.iterdir()}

    (name,) = names()
    whole = (kept / name).read_bytes()
    for broken in (b"", whole[: len(whole) // 2], whole[:60], b"x" * 99):
        (kept / name).write_bytes(broken)
        assert names() == {name}
        assert (kept / name).read_bytes() == whole
    changed = {**_SYNTAX, "autoescape": False}
    monkeypatch.setattr("elec.write.to_html._SYNTAX", changed)
    assert names() == {name}
    assert (kept / name).read_bytes() != whole, "compiled otherwise, it is not taken over"
    monkeypatch.setattr("elec.write.to_html._COMPILED", kept / name)  # no folder can be there
    assert environment().get_template("blocks.html.j2").name == "blocks.html.j2"
