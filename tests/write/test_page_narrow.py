# ruff: noqa: E501 - scripts of a line
"""Lists narrowed by zone, bus, state and verdict; cards and cropped sheets on a phone; paper.

With real keys, in a real browser. Needs chromium.
"""

import json
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import zxingcpp

import elec.write.to_html as to_html_module
from elec.answers.base.marks import marks
from elec.answers.base.ticked import state_of
from elec.wiring.chains import chains
from tests.answers.helper import whole
from tests.write.piped import Browser, browser
from tests.write.test_browser import CHROMIUM, PDF_TOOLS
from tests.write.test_page import page_of

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(not CHROMIUM, reason="no chromium on this machine"),
]
PHONE = 390
SHOWN = "[...document.querySelectorAll('{where} .entry')].filter(r => r.getClientRects().length)"
SAID = "document.querySelector('.narrow output').textContent"


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "foxglove.html"
    path.write_bytes(page_of("foxglove"))
    return path


@pytest.fixture(scope="module")
def driven() -> Iterator[Browser]:
    with browser() as found:
        yield found


def marks_on(bus: str) -> set[str]:
    """The marks of all wires of circuits and feeders on a bus, from the wiring."""
    study = whole("foxglove")
    return {
        marks(study)[c.id]
        for chain in chains(study).by_name.values()
        if bus in (chain.source_end, chain.far_end)
        for c in chain.conductors()
    }


def marks_in(state: str) -> set[str]:
    """The marks of all wires that are so far."""
    study = whole("foxglove")
    return {marks(study)[c.id] for c in chains(study).conductors() if state_of(study, c) == state}


def shown_marks(driven: Browser) -> set[str]:
    rows = SHOWN.format(where="#conductors")
    found: list[str] = driven.ask(f"{rows}.map(r => r.querySelector('th').textContent.trim())")
    return set(found)


def test_the_wires_of_a_bus_by_keyboard_alone(driven: Browser, page: Path) -> None:
    """Tab to the bar, Enter opens it, a letter chooses; what is left is what hangs on the bus."""
    driven.open(page, hash_="#wires-section")
    for _ in range(9):
        driven.press("Tab")
        if driven.ask("document.activeElement.textContent").startswith("Show only some"):
            break
    driven.press("Enter")
    for _ in range(2):
        driven.press("Tab")
    assert driven.ask("document.activeElement.labels[0].firstChild.data") == "Bus"
    driven.type("ess")
    assert shown_marks(driven) == marks_on("essential")
    every = driven.ask("document.querySelectorAll('#wires-section .entry').length")
    count = driven.ask(SHOWN.format(where="#wires-section") + ".length")
    assert 0 < count < every
    assert driven.ask(SAID) == f"{count} of {every} rows are shown."
    assert driven.ask("document.querySelector('.narrow output').getAttribute('role') ?? 'status'")
    assert driven.ask("location.hash") == "#wires-section?bus=essential+bus"


def test_a_narrowed_list_is_an_address(driven: Browser, page: Path) -> None:
    """What the fragment says is chosen again when the page is opened with it."""
    driven.open(page, hash_="#wires-section?bus=main+bus&zone=wings&state=pulled")
    driven.ask("new Promise((done) => setTimeout(done, 800))")
    found = driven.ask(
        "[...document.querySelectorAll('.narrow select')].map(s => [s.name, s.value])"
    )
    assert dict(found) == {"zone": "wings", "bus": "main bus", "state": "pulled", "verdict": ""}
    states = SHOWN.format(where="#conductors")
    assert set(driven.ask(f"{states}.map(r => r.lastElementChild.textContent)")) == {"pulled"}


def test_nothing_found_says_so_and_is_undone(driven: Browser, page: Path) -> None:
    driven.open(page, hash_="#wires-section?words=zzqqxx")
    driven.ask("new Promise((done) => setTimeout(done, 800))")
    every = driven.ask("document.querySelectorAll('#wires-section .entry').length")
    assert driven.ask(SAID) == f"Nothing is found: none of the {every} rows."
    assert driven.ask(SHOWN.format(where="#wires-section") + ".length") == 0
    driven.ask("document.querySelector('.narrow button').click()")
    assert driven.ask(SAID) == f"All {every} rows are shown."
    assert driven.ask(SHOWN.format(where="#wires-section") + ".length") == every
    assert driven.ask("location.hash") == "#wires-section"


def test_a_link_to_what_is_left_out_shows_it(driven: Browser, page: Path) -> None:
    """Who goes to a connector that the choice hides sees it, and the choice is undone."""
    driven.open(page, hash_="#pins?bus=main+bus&words=beacon")
    driven.ask("new Promise((done) => setTimeout(done, 1500))")
    hidden = "document.getElementById('pins-radio.J1').getClientRects().length"
    assert driven.ask(hidden) == 0
    driven.ask("location.hash = '#pins-radio.J1'; new Promise((done) => setTimeout(done, 600))")
    assert driven.ask(hidden) > 0


def test_contacts_are_narrowed_by_the_state_of_their_wires(driven: Browser, page: Path) -> None:
    driven.open(page, hash_="#pins?state=terminated")
    driven.ask("new Promise((done) => setTimeout(done, 1500))")
    rows = SHOWN.format(where="#pins section")
    said = driven.ask(f"{rows}.map(r => r.querySelector('.to').textContent)")
    assert len(said) > 3
    assert set(said) <= marks_in("terminated")


def test_what_no_row_is_finds_nothing(driven: Browser, page: Path) -> None:
    """An old address may ask for what is no more: that is not the same as asking for nothing."""
    driven.open(page, hash_="#pins?state=on+the+moon")
    driven.ask("new Promise((done) => setTimeout(done, 1500))")
    assert driven.ask("document.querySelector('#pins .narrow output').textContent").startswith(
        "Nothing is found"
    )


def test_no_row_that_leans_on_the_one_above_is_narrowed(driven: Browser, page: Path) -> None:
    """In the cut list a row without a reel means the reel above it: nothing is left out there."""
    driven.open(page)
    driven.ask(
        "(async () => { for (const b of document.querySelectorAll('main > section > h2 > button'))"
        " { b.click(); await new Promise((done) => setTimeout(done, 300)); } })()"
    )
    bars = driven.ask("[...document.querySelectorAll('.narrow')].map(b => b.parentElement.id)")
    assert {"wires-section", "pins", "equipment-section", "passes"} <= set(bars)
    assert "bench" not in bars
    blank = driven.ask(
        "[...document.querySelectorAll('.narrow')].flatMap(b => [...b.parentElement.querySelectorAll('tr.entry > th')])"
        ".filter(head => !head.textContent.trim()).length"
    )
    assert blank == 0


def test_without_a_script_nothing_of_it_appears() -> None:
    text = page_of("foxglove").decode()
    assert 'class="narrow"' not in text
    assert "rows are shown" not in re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL)


def test_paper_has_what_the_screen_leaves_out(driven: Browser, page: Path, tmp_path: Path) -> None:
    """A narrowed list must not leave the house as if it were the whole."""
    if not PDF_TOOLS:
        pytest.skip("no pdftotext on this machine")
    driven.open(page, hash_="#wires-section?bus=main+bus")
    driven.ask("new Promise((done) => setTimeout(done, 800))")
    left_out = sorted(marks_on("essential") - marks_on("main"))
    assert not shown_marks(driven) & set(left_out)
    pdf = tmp_path / "page.pdf"
    pdf.write_bytes(driven.paper())
    text = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True, text=True
    ).stdout
    schedule = text[text.index("Wire schedule\n") :]
    assert all(mark in schedule for mark in left_out)
    assert "rows are shown" not in text


# --- a phone ----------------------------------------------------------------------------------


def test_contacts_are_cards_on_a_phone(driven: Browser, page: Path) -> None:
    """Nothing slides: every value stands under what it is; wider, it is a table again."""
    rows = "[...document.querySelectorAll('#pins-radio\\\\.J1 .entry')]"
    slides = "[...document.querySelectorAll('#pins .frame')].filter(f => f.scrollWidth > f.clientWidth).length"
    driven.open(page, hash_="#pins-radio.J1", wide=PHONE)
    driven.ask("new Promise((done) => setTimeout(done, 800))")
    assert driven.ask(slides) == 0
    assert set(driven.ask(f"{rows}.map(r => getComputedStyle(r).display)")) == {"grid"}
    said = driven.ask(
        f"[...{rows}[0].children].filter(c => c.getClientRects().length)"
        ".map(c => getComputedStyle(c, '::before').content)"
    )
    assert said[:3] == ['"Contact"', '"Signal"', '"Mark"']
    empty = driven.ask(
        f"{rows}.flatMap(r => [...r.children]).filter(c => !c.textContent && c.getClientRects().length).length"
    )
    assert empty == 0
    driven.open(page, hash_="#pins-radio.J1", wide=820)
    driven.ask("new Promise((done) => setTimeout(done, 800))")
    assert set(driven.ask(f"{rows}.map(r => getComputedStyle(r).display)")) == {"table-row"}


def test_no_table_slides_on_a_phone(driven: Browser, page: Path) -> None:
    """What is not narrow enough for a table is cards; with every section opened."""
    driven.open(page, wide=PHONE)
    driven.ask(
        "(async () => { for (const b of document.querySelectorAll('main > section > h2 > button'))"
        " { b.click(); await new Promise((done) => setTimeout(done, 300)); } })()"
    )
    sliding = driven.ask(
        "[...document.querySelectorAll('div.table .frame')].filter(f => f.scrollWidth > f.clientWidth)"
        ".map(f => f.getAttribute('aria-label'))"
    )
    assert sliding == []
    assert driven.ask("document.querySelectorAll('table:not(.cards)').length") > 3


def test_cards_read_without_a_script() -> None:
    """What is over a value comes from the rules of the page, and every wide table has its own."""
    text = page_of("foxglove").decode()
    used = set(re.findall(r'class="cards (h\d+)"', text))
    assert used
    for name in used:
        assert f".{name} tr>:nth-child(1):before{{content:" in text


def test_sheets_are_cropped_on_a_phone_and_whole_on_paper(driven: Browser, page: Path) -> None:
    sheet = "document.getElementById('drawing-one-line').closest('figure').querySelector('svg')"
    box = f"{sheet}.getAttribute('viewBox').split(' ').map(Number)"
    driven.open(page, hash_="#drawing-one-line", wide=PHONE)
    driven.ask("new Promise((done) => setTimeout(done, 1500))")
    x, y, wide, high = driven.ask(box)
    assert x > 5
    assert y > 5
    assert x + wide < 431.8 - 5  # the paper, whose border is drawn 5 mm from its edges
    assert y + high < 279.4 - 5
    assert driven.ask(f"{sheet}.querySelector('g.frame').getClientRects().length") == 0
    driven.ask("window.dispatchEvent(new Event('beforeprint'))")
    assert driven.ask(box)[:2] == [0, 0]
    assert driven.ask("document.documentElement.scrollWidth") <= PHONE


@pytest.mark.parametrize("wide", [PHONE, 820, 1440])
def test_nothing_slides_sideways_with_lists_narrowed(
    driven: Browser, page: Path, wide: int
) -> None:
    driven.open(page, hash_="#wires-section?bus=main+bus", wide=wide)
    driven.ask("new Promise((done) => setTimeout(done, 800))")
    assert driven.ask("document.documentElement.scrollWidth") <= wide
    small = driven.ask(
        "[...document.querySelectorAll('.narrow select, .narrow input, .narrow button, .narrow summary')]"
        ".filter(one => one.getClientRects().length && one.getBoundingClientRect().height < 44)"
        ".map(one => one.outerHTML.slice(0, 60))"
    )
    assert small == []


# --- carried over -----------------------------------------------------------------------------

VERSIONS = 15
"""So many sizes of picture the page can draw: 21 squares wide, and four more each."""


def scanned(dark: list[list[int]]) -> str:
    """What a reader of its own kind finds in a picture with its quiet zone."""
    light = np.pad(1 - np.array(dark), 4, constant_values=1)
    found = zxingcpp.read_barcodes((np.kron(light, np.ones((4, 4))) * 255).astype(np.uint8))
    return str(found[0].text) if found else ""


def encoder() -> str:
    """The part of the page's script that turns a text into squares."""
    script = (
        Path(to_html_module.__file__).parent.joinpath("templates", "book.js").read_text("utf-8")
    )
    begin = script.index("  const CHECKS = [")
    return script[begin : script.index("  const SCAN_BYTES")]


def test_every_size_of_picture_is_read_back(driven: Browser, page: Path) -> None:
    """All versions, the longest text of the largest, and letters beyond ASCII."""
    driven.open(page)
    texts = [f"{'L31B22 rung-out; ' * 40}"[:length] for length in range(1, 521, 3)]
    texts += ["x" * 520, "Größe ±3 °C\n"]
    every = driven.ask(f"(() => {{ {encoder()} return {json.dumps(texts)}.map(square); }})()")
    for text, dark in zip(texts, every, strict=True):
        assert scanned(dark) == text
    assert {(len(dark) - 17) // 4 for dark in every} == set(range(1, VERSIONS + 1))
    assert driven.ask(f"(() => {{ {encoder()} return square('x'.repeat(521)); }})()") is None


def test_ticks_are_carried_over_by_scanning(driven: Browser, page: Path) -> None:
    """Sixty wires ticked on the telephone: the pictures hold the lines of the text, each once."""
    chosen = sorted(marks_on("main"))[:60]
    driven.open(page, wide=PHONE)
    driven.ask(
        "(() => { const book = document.body.dataset.book;"
        f" {json.dumps(chosen)}.forEach(m => localStorage.setItem(`elec|${{book}}|state|${{m}}`, 'rung-out')); }})()"
    )
    driven.open(page, wide=PHONE)
    driven.ask("document.getElementById('scan').click()")
    paths = driven.ask(
        "[...document.querySelectorAll('#scans svg')].map(s => [s.viewBox.baseVal.width, s.querySelector('path').getAttribute('d')])"
    )
    text = driven.ask("document.querySelector('#carry textarea').value")
    driven.ask("localStorage.clear()")
    read = ""
    for wide, path in paths:
        dark = np.zeros((int(wide) - 8, int(wide) - 8), dtype=int)
        for x, y in re.findall(r"M(\d+) (\d+)h1", path):
            dark[int(y) - 4, int(x) - 4] = 1
        read += scanned(dark.tolist())
    assert len(paths) > 1
    assert read == text
    assert [line.split() for line in read.splitlines()] == [[m, "rung-out"] for m in chosen]
