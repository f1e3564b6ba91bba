# ruff: noqa: E501 - scripts of a line
"""What is new in a later page is taken over where the reader is. Needs chromium."""

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from elec.live.server import serving, watch
from elec.live.watched import Watched
from tests.hostile.attacks import attacked
from tests.hostile.systems import FINCH, changed
from tests.write.piped import Browser, browser
from tests.write.test_browser import CHROMIUM

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(not CHROMIUM, reason="no chromium on this machine"),
]
WAITS_S = 90.0


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Path, Browser, str]]:
    """A small system, and a browser that shows its page."""
    file = tmp_path / "finch.yaml"
    file.write_text(FINCH, encoding="utf-8")
    watched, stop = Watched(file), threading.Event()
    server = serving(watched, 0)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    watched.look()
    watcher = threading.Thread(target=watch, args=(watched, stop), daemon=True)
    watcher.start()
    with browser() as one:
        url = f"http://127.0.0.1:{server.server_port}/"
        one.call("Emulation.setDeviceMetricsOverride", width=1000, height=600,
                 deviceScaleFactor=1, mobile=False)  # fmt: skip
        go_to(one, url)
        yield file, one, url
    stop.set()
    server.shutdown()
    server.server_close()
    watcher.join(WAITS_S)


def go_to(one: Browser, url: str) -> None:
    """Open a page, and wait until it stands there."""
    one.call("Page.navigate", url=url)
    wait(
        one,
        f"location.href === '{url}' && document.readyState === 'complete' && !!document.querySelector('main')",
    )


def wait(one: Browser, script: str) -> None:
    """Until that is so."""
    end = time.monotonic() + WAITS_S
    while time.monotonic() < end:
        try:
            if one.ask(script):
                return
        except RuntimeError:  # the page is just going
            pass
        time.sleep(0.05)
    raise AssertionError(script)


def save(file: Path, one: Browser, text: str) -> None:
    """Save it, and wait until the page is of today again."""
    file.write_text(text, encoding="utf-8")
    wait(one, "document.body.classList.contains('before')")
    wait(one, "!document.body.classList.contains('before')")


SEEN = "[...document.querySelectorAll('main > section, .masthead')].map((part) => part.textContent.replace(/\\s+/g, ' '))"


def test_the_page_becomes_the_later_one_without_being_loaded_anew(
    opened: tuple[Path, Browser, str],
) -> None:
    """Word for word what a page loaded then shows; opened, scrolled, chosen and marked as it was."""
    file, one, url = opened
    one.ask("window.kept = 1; window.loads = document.getElementById('loads')")
    one.ask("document.querySelector('#loads > h2 > button').click()")
    one.ask("document.querySelector('#limits > h2 > button').click()")
    wait(one, "!!document.querySelector('#limits li') && !!document.querySelector('#loads table')")
    one.ask("window.limits = document.getElementById('limits')")
    one.ask("document.getElementById('loads').scrollIntoView(); window.scrollBy(0, 40)")
    one.ask(
        "const range = document.createRange(); range.selectNodeContents(document.querySelector('#loads caption')); getSelection().removeAllRanges(); getSelection().addRange(range)"
    )
    chosen = one.ask("getSelection().toString()")
    at = one.ask("document.querySelector('#loads caption').getBoundingClientRect().top")
    before = one.ask("document.querySelector('#loads').textContent")
    one.ask(
        "new MutationObserver(() => { const early = document.querySelector('#glance.today'); if (early) window.early = early.textContent; window.least = Math.min(window.least || 99, document.querySelectorAll('#glance article').length); }).observe(document.querySelector('main'), { childList: true, subtree: true, attributes: true })"
    )
    save(file, one, changed(("draw: 2 A", "draw: 4 A")))
    assert one.ask("window.kept") == 1
    glance = "document.querySelector('#glance').textContent.split(/\\s+/).join(' ')"
    assert one.ask("window.early.split(/\\s+/).join(' ')") == one.ask(glance)
    assert one.ask("document.querySelectorAll('.today').length") == 0
    assert one.ask("window.least") > 3
    assert one.ask("window.loads === document.getElementById('loads')") is False
    assert one.ask("window.limits === document.getElementById('limits')") is True
    assert one.ask("document.querySelector('#loads').textContent") != before
    assert one.ask("document.querySelector('#loads').classList.contains('closed')") is False
    assert chosen
    assert one.ask("getSelection().toString()") == chosen
    # Pixels are whole on a screen, and the browser rounds each of the two places.
    assert (
        abs(one.ask("document.querySelector('#loads caption').getBoundingClientRect().top") - at)
        <= 2
    )
    taken = one.ask(SEEN)
    go_to(one, f"{url}#")
    one.ask("location.reload()")
    wait(one, "document.readyState === 'complete' && !window.kept")
    one.ask(
        "for (const id of ['loads', 'limits']) document.querySelector(`#${id} > h2 > button`).click()"
    )
    wait(one, "!!document.querySelector('#limits li') && !!document.querySelector('#loads table')")
    assert one.ask(SEEN) == taken


def test_a_mistake_and_a_load_that_goes_and_comes(opened: tuple[Path, Browser, str]) -> None:
    """Sections and names that are gone are gone; with a mistake the page stays, marked."""
    file, one, _ = opened
    line = "  strobe: {bus: main, breaker: auto, switch: strobe, feeds: strobe}\n"
    assert FINCH.count(line) == 1
    file.write_text(FINCH.replace("buses:", "busses:"), encoding="utf-8")
    wait(one, "document.querySelector('#news').textContent.includes('finch.yaml:')")
    assert one.ask("document.body.classList.contains('before')") is True
    assert one.ask("getComputedStyle(document.querySelector('#glance'), '::before').content") == (
        '"Of before the last save"'
    )
    file.write_text(FINCH.replace(line, ""), encoding="utf-8")
    wait(one, "!document.body.classList.contains('before')")
    search = "(async () => { const box = document.getElementById('search'); box.value = 'strobe'; document.getElementById('found').textContent = ''; box.dispatchEvent(new Event('input')); for (let k = 0; k < 200 && !document.getElementById('found').textContent; k += 1) await new Promise((done) => setTimeout(done, 20)); return [...document.querySelectorAll('#results li')].map((row) => row.textContent).join('; '); })()"
    without = one.ask(search)
    file.write_text(FINCH, encoding="utf-8")
    wait(one, "document.body.classList.contains('before')")
    wait(one, "!document.body.classList.contains('before')")
    assert "strobe  circuit" in one.ask(search)
    assert "strobe  circuit" not in without


def test_no_text_of_a_saved_file_acts(opened: tuple[Path, Browser, str]) -> None:
    """What attacks from every string is taken over as text: in the page and in what is told."""
    file, one, _ = opened
    one.ask("window.alert = window.confirm = window.prompt = () => { window.hit = 1; }")
    text, _ = attacked()
    file.write_bytes(text)
    wait(one, "document.body.classList.contains('before')")
    wait(one, "!document.body.classList.contains('before')")
    one.ask(
        "document.querySelectorAll('main section.closed > h2 > button').forEach((button) => button.click())"
    )
    wait(
        one,
        "document.querySelectorAll('main > section > noscript.held, main > section > script.packed').length === 0",
    )
    assert one.ask("window.hit === undefined") is True
    ours = "['text/plain', '']"
    assert one.ask(f"[...document.scripts].every((script) => {ours}.includes(script.type))") is True
    free = "[...document.scripts].filter((script) => !script.type).map((script) => script.text.slice(0, 12))"
    assert one.ask(free) == ['"use strict"']
    assert (
        one.ask(
            "document.querySelectorAll('main img, main iframe, main object, main embed').length"
        )
        == 0
    )
