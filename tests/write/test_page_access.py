"""The page for everybody: axe-core's rules for WCAG 2.1 A and AA, in light and in dark; targets.

axe-core (Deque Systems) comes with the package axe-core-python. What a machine can see of the rules
is a part of them: that every answer has a text, and that nothing is said by colour alone, is asked
in test_html.py.
"""

import json
from importlib.resources import files
from pathlib import Path

import pytest

from tests.write.piped import browser
from tests.write.test_browser import CHROMIUM
from tests.write.test_page import FIND, TAKE, WAIT, ask, page_of

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(not CHROMIUM, reason="no chromium on this machine"),
]
OPENED = ("loads", "wires-section", "pins", "drawings", "zones")
"""Sections with tables, lists to narrow, sheets and boxes to tick."""
SMALL = "thistledown"
"""Of the smallest system: the checker looks at every element."""
RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa")
LEAST_RULES = 20
"""So many rules find something to look at on the page; none would mean that nothing was looked
at."""
POLICY = b"<meta http-equiv="


def with_checker() -> bytes:
    """The page without its policy, which lets no other script in, and with the checker."""
    page = page_of(SMALL)
    begin = page.index(POLICY)
    page = page[:begin] + page[page.index(b">", begin) + 1 :]
    script = files("axe_core_python").joinpath("axe.min.js").read_bytes()
    return page.replace(b"</head>", b"<script>" + script + b"</script></head>", 1)


@pytest.mark.parametrize(("dark", "wide"), [(False, 390), (True, 1440)])
def test_no_rule_is_broken(tmp_path: Path, dark: bool, wide: int) -> None:
    """With a card open and the kinds of sections opened."""
    opened = "".join(
        f"page.querySelector('#{name} > h2 > button').click(); await wait(600);" for name in OPENED
    )
    path = tmp_path / "book.html"
    path.write_bytes(with_checker())
    with browser() as driven:
        driven.open(path, wide=wide, dark=dark)
        ground, broken, passed = driven.ask(
            f"(async () => {{ const page = document, view = window; {WAIT} {FIND} {TAKE}"
            f"await ask('radio.J1'); await take(); {opened}"
            "document.querySelectorAll('.narrow').forEach((bar) => { bar.open = true; });"
            f"const found = await axe.run(page, {{runOnly: {json.dumps(RULES)},"
            " resultTypes: ['violations']});"
            "return [getComputedStyle(page.body).backgroundColor,"
            " found.violations.map(v => [v.id, v.nodes[0].html]), found.passes.length]; })()"
        )
    assert ground == ("rgb(22, 22, 22)" if dark else "rgb(255, 255, 255)")
    assert broken == []
    assert passed >= LEAST_RULES


def test_a_broken_rule_would_be_found(tmp_path: Path) -> None:
    """Grey letters on white: the checker is really asked."""
    page = with_checker().replace(b"--ink: #000", b"--ink: #ccc", 1)
    broken = ask(
        tmp_path,
        f"const found = await view.axe.run(page, {{runOnly: {json.dumps(RULES)}}});"
        "return found.violations.map(v => v.id);",
        page=page,
    )
    assert "color-contrast" in broken


def test_targets_are_large_enough(tmp_path: Path) -> None:
    """WCAG 2.2, 2.5.8: 24 pixels at least; what stands in a sentence or a cell is exempt there."""
    small = ask(
        tmp_path,
        "await ask('R1A22'); await take();"
        "const every = 'button, input, summary, nav a, #results li, .answer h2 a';"
        "return [...page.querySelectorAll(every)]"
        ".filter(one => one.getClientRects().length && !one.closest('td, .skip'))"
        ".map(one => [one.outerHTML.slice(0, 80),"
        " (one.closest('label') || one).getBoundingClientRect().height])"
        ".filter(([, high]) => high < 24);",
    )
    assert small == []
