# ruff: noqa: E501 - scripts of a line
"""The page of a whole book in a real browser: light, folded, searched, lit up. Needs chromium."""

import html
import json
import re
import zlib
from base64 import b64decode
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from elec.check import ask as ask_check
from elec.pages.book import book
from elec.write.register import Options
from elec.write.to_html import to_html
from elec.write.values import HARD_SPACE
from tests.answers.helper import whole
from tests.write.test_browser import CHROMIUM, chromium

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(not CHROMIUM, reason="no chromium on this machine"),
]
PHONE = (390, 844)
WAIT = "const wait = (ms) => new Promise((done) => setTimeout(done, ms));"
WAIT += (  # as slow as unpacking is, however busy the machine; virtual time runs ahead of it
    "const beat = async () => { const packing = new Blob(['x']).stream()"
    ".pipeThrough(new CompressionStream('deflate'));"
    " await new Response(packing).text(); await wait(20); };"
)
FIND = (
    "const ask = async (text) => { const box = page.getElementById('search'); box.value = text;"
    " const told = page.getElementById('found'); told.textContent = '';"
    " box.dispatchEvent(new Event('input'));"
    " for (let k = 0; k < 100 && !told.textContent; k += 1) await beat();"
    " return [...page.querySelectorAll('#results li')].map(row => row.textContent); };"
)
TAKE = (
    "const take = async () => { const press = new KeyboardEvent('keydown', {key: 'Enter', bubbles:"
    " true}); page.getElementById('search').dispatchEvent(press); await wait(400); };"
)
PROBE = """<!doctype html><meta charset="utf-8">
<iframe id="book" width="{width}" height="{height}" src="{name}"></iframe>
<pre id="result"></pre>
<script>
const frame = document.getElementById("book");
frame.addEventListener("load", async () => {{
  const page = frame.contentDocument, view = frame.contentWindow;
  {before}
  let result;
  try {{ result = await (async () => {{ {body} }})(); }} catch (error) {{ result = String(error); }}
  document.getElementById("result").textContent = JSON.stringify(result);
}}, {{ once: true }});
</script>
"""


@cache
def page_of(name: str) -> bytes:
    """The page of a system that comes with elec."""
    return to_html(book(whole(name)), Options(passes=True))


def ask(
    folder: Path, body: str, *, name: str = "foxglove", size: tuple[int, int] = PHONE,
    page: bytes = b"",
) -> Any:  # fmt: skip
    """What a script finds in the page, opened in a frame of that size."""
    (folder / "book.html").write_bytes(page or page_of(name))
    probe = folder / "probe.html"
    probe.write_text(
        PROBE.format(
            width=size[0], height=size[1], name="book.html", before=WAIT + FIND + TAKE, body=body
        ),
        encoding="utf-8",
    )
    out = chromium(
        "--virtual-time-budget=20000",
        "--allow-file-access-from-files",
        "--dump-dom",
        probe.as_uri(),
    ).decode()
    found = re.search(r'<pre id="result">(.*?)</pre>', out, re.DOTALL)
    assert found, out[-500:]
    return json.loads(html.unescape(found.group(1)))


@pytest.mark.parametrize(("name", "most_mb"), [("foxglove", 1.5), ("larkspur", 3.0)])
def test_the_page_is_light(name: str, most_mb: float) -> None:
    """4.3 and 10.1 MB before; most of what is left is sheets and pin tables that need no script."""
    assert len(page_of(name)) / 1e6 < most_mb


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_few_elements_at_load(tmp_path: Path, name: str) -> None:
    """94 524 and 221 492 before."""
    assert ask(tmp_path, "return page.querySelectorAll('*').length;", name=name) <= 2500


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_it_does_not_slide_sideways(tmp_path: Path, width: int) -> None:
    """Closed, and with every section opened."""
    found = ask(
        tmp_path,
        "const wide = () => page.documentElement.scrollWidth; const first = wide();"
        "for (const b of page.querySelectorAll('main > section > h2 > button')) { b.click();"
        " await wait(60); } await wait(500);"
        "return [first, wide(), page.querySelectorAll('main > section.closed').length];",
        size=(width, 844),
    )
    assert found[0] <= width
    assert found[1] <= width
    assert found[2] == 0


def test_the_first_answer_is_seen_without_scrolling(tmp_path: Path) -> None:
    """On a phone of 390 by 844; 3 009 pixels down before."""
    bottom = ask(
        tmp_path,
        "return page.querySelector('.answer p').getBoundingClientRect().bottom;",
    )
    assert bottom < PHONE[1]


ASKED = {
    "L31B22": "L31B22",
    "radio.J1.7": "radio.J1.7",
    "radio j1 7": "radio.J1.7",
    "belly beacon": "belly-beacon",
    "panel to belly": "panel to belly",
    "what to buy": "What to buy",
    "landing-light": "landing-light",
    "baggage": "belly",
    "C1": "C1",
}


def test_a_name_is_found_first(tmp_path: Path) -> None:
    """What was asked for stands first in the list: one action, and one more to open it."""
    found = ask(
        tmp_path,
        f"const first = []; for (const text of {json.dumps(list(ASKED))})"
        " first.push((await ask(text))[0] || ''); return first;",
    )
    wrong = {a: got for (a, first), got in zip(ASKED.items(), found, strict=True)
             if not got.startswith(first)}  # fmt: skip
    assert wrong == {}


def test_a_finding_is_found_once_and_says_what_helps(tmp_path: Path) -> None:
    """It stands in two lists of the page; its card has the sentence and the remedy."""
    found, texts = ask(
        tmp_path,
        "const rows = await ask('alternator-idle'); await take();"
        "return [rows.filter(one => one.endsWith('finding')),"
        " [...page.querySelectorAll('#card p')].map(one => one.textContent)];",
    )
    assert len(found) == len(set(found)) == 2
    plain = " ".join(texts).replace(HARD_SPACE, " ")
    (finding,) = [f for f in ask_check(whole("foxglove"), "alternator-idle") if f.sentence in plain]
    assert f"What helps: {finding.remedy}" in plain


def test_a_wrong_spelling_is_helped(tmp_path: Path) -> None:
    """Near names are offered and said to be near; nothing else is shown for what is not there."""
    near, words, none, nothing = ask(
        tmp_path,
        "const near = await ask('transpnoder'); const said = () =>"
        " page.getElementById('found').textContent; const words = said();"
        "const none = await ask('zzqqxx'); return [near, words, none, said()];",
    )
    assert "transponder" in near[0]
    assert words.startswith("Nothing has that name")
    assert none == []
    assert nothing == "Nothing is found."


def test_a_wire_opens_its_card_and_is_lit_everywhere(tmp_path: Path) -> None:
    """By keyboard alone: found, opened, lit in the pin table; Escape goes back to the field."""
    head, facts, lit, gone, focus = ask(
        tmp_path,
        "await ask('R1A22'); await take();"
        "const card = page.getElementById('card'); const head = card.querySelector('h2').textContent;"
        "const facts = [...card.querySelectorAll('dt')].map(one => one.textContent);"
        "page.querySelector('#pins > h2 > button').click(); await wait(1500);"
        "const lit = [...page.querySelectorAll('#pins .lit')].map(one => one.textContent);"
        "page.dispatchEvent(new KeyboardEvent('keydown', {key: 'Escape', bubbles: true}));"
        "return [head, facts, lit, card.hidden && !page.querySelector('.lit'),"
        " page.activeElement.id];",
    )
    assert head.startswith("R1A22")
    assert {"From", "To", "AWG", "Run", "State", "Carries at most", "Warm to"} <= set(facts)
    assert lit
    assert set(lit) == {"R1A22"}
    assert gone
    assert focus == "search"


def test_a_link_into_what_is_folded_opens_it(tmp_path: Path) -> None:
    """A working, a pin table, a sheet: each is put in when somebody goes there."""
    found = ask(
        tmp_path,
        "const there = []; for (const id of ['why-beacon', 'pins-radio.J1', 'drawing-one-line']) {"
        " view.location.hash = '#' + id; await wait(2500);"
        " const one = page.getElementById(id); there.push(one ? one.getClientRects().length : -1); }"
        "return there.concat(page.querySelectorAll('#drawing-one-line svg, svg#drawing-one-line').length);",
    )
    assert all(number > 0 for number in found)


def test_states_are_kept_and_carried_over(tmp_path: Path) -> None:
    """Ticked on the telephone, carried to the file as lines."""
    found = ask(
        tmp_path,
        "await ask('L31B22'); await take();"
        "page.querySelectorAll('#card input')[2].click(); await wait(50);"
        "return [page.querySelector('#carry textarea').value, page.getElementById('carry').hidden];",
    )
    assert found == ["L31B22 terminated\n", False]


def test_without_a_script_answers_drawings_and_pin_tables_read() -> None:
    """What a browser without scripts shows stands there as it is."""
    page = page_of("foxglove").decode()
    for plain in re.findall(r"<script type=.*?</script>", page, re.DOTALL):
        page = page.replace(plain, "")
    assert page.count("<svg") > 15
    assert 'id="contacts-radio.J1"' in page
    assert "What fails?" in page


def test_what_is_packed_unpacks_to_what_was_written() -> None:
    """The workings and everything else: nothing is lost by packing."""
    page = page_of("foxglove").decode()
    found = re.findall(r'<script type="text/plain"[^>]*>(.*?)</script>', page, re.DOTALL)
    texts = [zlib.decompress(b64decode(one)).decode() for one in found]
    assert any('class="working"' in text for text in texts)
    names = [
        card["name"] for text in texts if text.startswith("{") for card in json.loads(text)["cards"]
    ]
    assert "L31B22" in names


def test_no_name_of_the_builder_acts(tmp_path: Path) -> None:
    """Text of the file is text in results and cards, too."""
    found = ask(
        tmp_path,
        "const rows = await ask('<img src=x onerror=alert(1)>');"
        "return [rows.length, page.querySelectorAll('#results img, #card img').length];",
    )
    assert found[1] == 0
