"""The book in a real browser: phone width, search, ticks, and on paper. Needs chromium."""

import html
import json
import re
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from elec.pages.document import Section, TableBlock
from elec.pages.table import Column, Table
from elec.write.register import Options
from elec.write.to_html import to_html
from tests.write.sample import FINDINGS, WIRES, book
from tests.write.test_pdf_book import filled

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)
LINE_EM = 1.164  # ascent and descent of DejaVu Sans over its size, from its tables
PDF_TOOLS = all(shutil.which(name) for name in ("pdfinfo", "pdftotext"))

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(not CHROMIUM, reason="no chromium on this machine"),
]

PROBE = """<!doctype html><meta charset="utf-8">
<iframe id="book" width="{width}" height="844" srcdoc="{page}"></iframe>
<pre id="result"></pre>
<script>
const frame = document.getElementById("book");
frame.addEventListener("load", () => {{
  const page = frame.contentDocument, view = frame.contentWindow;
  const result = (() => {{ {body} }})();
  document.getElementById("result").textContent = JSON.stringify(result);
}});
</script>
"""


def chromium(*arguments: str) -> bytes:
    with tempfile.TemporaryDirectory() as profile:
        done = subprocess.run(
            [
                CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu",
                "--disable-background-networking", "--disable-component-update", "--no-first-run",
                f"--user-data-dir={profile}", *arguments,
            ],
            capture_output=True,
            check=True,
            timeout=120,
        )  # fmt: skip
    return done.stdout


def ask(folder: Path, body: str, *, width: int = 390) -> Any:
    """What a script finds in the book, opened in a frame of that width."""
    page = html.escape(to_html(book(), Options()).decode())
    probe = folder / "probe.html"
    probe.write_text(PROBE.format(width=width, page=page, body=body), encoding="utf-8")
    out = chromium("--virtual-time-budget=2000", "--dump-dom", probe.as_uri()).decode()
    found = re.search(r'<pre id="result">(.*?)</pre>', out, re.DOTALL)
    assert found, out[-500:]
    return json.loads(html.unescape(found.group(1)))


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_the_page_is_no_wider_than_the_phone(tmp_path: Path, width: int) -> None:
    found = ask(
        tmp_path,
        "return [view.innerWidth, page.documentElement.scrollWidth,"
        " [...page.querySelectorAll('.frame')].some(f => f.scrollWidth > f.clientWidth)];",
        width=width,
    )
    assert found[0] == width
    assert found[1] <= width
    assert found[2] or width > 390  # the wide table scrolls in its frame


def test_targets_for_fingers_are_44_pixels_high(tmp_path: Path) -> None:
    heights = ask(
        tmp_path,
        "return [...page.querySelectorAll('main summary, .boxes label, .search input')]"
        ".filter(one => !one.closest('.why') && one.getClientRects().length)"
        ".map(one => one.getBoundingClientRect().height);",
    )
    assert len(heights) >= 5
    assert min(heights) >= 44


def test_the_first_column_stays_while_a_table_scrolls(tmp_path: Path) -> None:
    left = ask(
        tmp_path,
        "const f = page.querySelector('#wires .frame'); f.scrollLeft = 50;"
        "return [f.scrollLeft, f.querySelector('tbody th').getBoundingClientRect().left"
        " - f.getBoundingClientRect().left];",
        width=700,
    )
    assert left == [50, 0]


def test_ticks_are_kept(tmp_path: Path) -> None:
    found = ask(
        tmp_path,
        "const tick = page.querySelector('input[data-tick]'); tick.click();"
        "const kept = Object.entries(view.localStorage);"
        "tick.click(); return [kept, Object.entries(view.localStorage)];",
    )
    assert found == [[["elec|Foxglove|closing: com-antenna is in, tested", "yes"]], []]


def test_a_working_opens_and_its_panel_stays_on_the_screen(tmp_path: Path) -> None:
    found = ask(
        tmp_path,
        "page.querySelector('.passes').open = true;"
        "return ['#wires details.why', '.passes details.why'].map(where => {"
        "const why = page.querySelector(where); why.querySelector('summary').click();"
        "const box = why.querySelector('.panel').getBoundingClientRect();"
        "const open = why.open; why.querySelector('button').click();"
        "return [open, box.bottom <= view.innerHeight, box.left >= 0, box.right <= view.innerWidth,"
        " why.open, page.documentElement.scrollWidth <= view.innerWidth]; });",
    )
    assert found == [[True, True, True, True, False, True]] * 2


def test_the_console_stays_empty(tmp_path: Path) -> None:
    """No line of the policy stops the page's own script or style."""
    path = tmp_path / "book.html"
    path.write_bytes(to_html(book(), Options()))
    with tempfile.TemporaryDirectory() as profile:
        done = subprocess.run(
            [
                CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--enable-logging=stderr",
                "--disable-background-networking", f"--user-data-dir={profile}", "--dump-dom",
                path.as_uri(),
            ],
            capture_output=True,
            check=True,
            timeout=120,
        )  # fmt: skip
    assert b"CONSOLE" not in done.stderr, done.stderr.decode()
    assert b'class="search"' in done.stdout  # no longer hidden: the script ran


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[list[str], str]]:
    """For each paper: the page sizes in points and the text, as printed."""
    if not PDF_TOOLS:
        pytest.skip("no pdfinfo and pdftotext on this machine")
    found = {}
    folder = tmp_path_factory.mktemp("paper")
    for paper in ("A4", "Letter"):
        page, pdf = folder / f"{paper}.html", folder / f"{paper}.pdf"
        document = replace(book(), paper="A4" if paper == "A4" else "Letter")
        page.write_bytes(to_html(document, Options()))
        chromium("--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
        info = subprocess.run(
            ["pdfinfo", "-f", "1", "-l", "99", str(pdf)], capture_output=True, check=True, text=True
        ).stdout
        sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+)", info)
        text = subprocess.run(
            ["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True, text=True
        ).stdout
        found[paper] = ([f"{float(w):.0f}x{float(h):.0f}" for w, h in sizes], text)
    return found


def test_pages_are_the_builders_paper_upright_wide_and_as_large_as_a_sheet(
    printed: dict[str, tuple[list[str], str]],
) -> None:
    # 210 × 297 mm is 595 × 842 pt; 8.5 × 11 in is 612 × 792 pt
    assert printed["A4"][0] == ["595x842"] * 5 + ["842x595"] * 2 + ["595x842"]
    assert printed["Letter"][0] == ["612x792"] * 5 + ["792x612", "842x595", "612x792"]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_page_of_text_names_the_system_its_revision_and_its_number(
    printed: dict[str, tuple[list[str], str]], paper: str
) -> None:
    sizes, text = printed[paper]
    pages = text.split("\f")[: len(sizes)]
    for number, page in enumerate(pages, start=1):
        if "not to scale" in page:
            continue  # a drawing bears its own title block
        assert "Foxglove" in page
        assert "revision C" in page
        assert f"page {number} of {len(sizes)}" in page
        assert "5a1f0c2e" in page


def test_nothing_shrinks_on_paper_whatever_the_tables(tmp_path: Path) -> None:
    """A browser shrinks a page whose content is too wide; 8.5 pt would then not be 8.5 pt."""
    if not PDF_TOOLS:
        pytest.skip("no pdfinfo and pdftotext on this machine")
    columns = tuple(
        Column(
            key=f"c{k}_a", head=f"Approach and landing {k}", unit="a", importance=1 if k < 9 else 3
        )
        for k in range(20)
    )
    wide = Table(
        id="w", title="w", columns=columns, rows=(tuple(100.25 + k for k in range(20)),) * 3
    )
    page, pdf = tmp_path / "x.html", tmp_path / "x.pdf"
    section = Section(id="s", title="s", blocks=(TableBlock(table=wide), TableBlock(table=WIRES)))
    page.write_bytes(to_html(section, Options()))
    chromium("--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    boxes = subprocess.run(
        ["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, check=True, text=True
    ).stdout
    heights = re.findall(
        r'<word xMin="[\d.]+" yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)"', boxes
    )
    sizes = [(float(low) - float(high)) / LINE_EM for high, low in heights]
    assert len(sizes) > 50
    assert min(sizes) > 8.4  # 8.5 pt, less the rounding of the coordinates
    assert "No room on paper for" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_paper_has_all_that_the_screen_folds_away(
    printed: dict[str, tuple[list[str], str]], paper: str
) -> None:
    text = " ".join(printed[paper][1].split())
    for finding in FINDINGS:
        assert finding.verdict in text
        assert " ".join(finding.sentence.split())[:30] in text
    assert "2 × 0.0232 × 4.2672 × 3.2143" in text  # the working of what fails
    assert "Summary and findings" in text.partition("page 1 of")[0]  # the contents
    assert "Search this book" not in text
    assert "Lengths are to be measured" in text


@pytest.mark.parametrize("behind", ["list", "table"])
def test_a_caution_is_printed_on_the_page_of_its_work(tmp_path: Path, behind: str) -> None:
    """However full the page was before it."""
    if not PDF_TOOLS:
        pytest.skip("no pdfinfo and pdftotext on this machine")
    count = 36
    sections = tuple(filled(number, behind) for number in range(count))
    page, pdf = tmp_path / "book.html", tmp_path / "book.pdf"
    page.write_bytes(to_html(replace(book(), sections=sections), Options()))
    chromium("--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    done = subprocess.run(["pdftotext", str(pdf), "-"], capture_output=True, check=True, text=True)
    pages = done.stdout.split("\f")
    parted = []
    for number in range(count):
        (own,) = [one for one in pages if re.search(rf"beware{number}\b", one)]
        if not re.search(rf"first{number}\b", own):
            parted.append(number)
    assert parted == []
    assert any(
        re.search(rf"beware{n}\b", one) and "line 37" not in one
        for n in range(count)
        for one in pages
    ), "every page had room: the test asked nothing"
