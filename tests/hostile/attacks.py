"""Texts that want to be more than text, and a system with one of them in every free text."""

from collections.abc import Iterator
from typing import Any

from tests import plain
from tests.hostile.systems import FINCH

ATTACKS = (
    "<script>window.hit={n}</script>",
    "</script><script>window.hit={n}</script>",
    "</title></style></textarea></template><script>window.hit={n}</script>",
    '<img src=x onerror="window.hit={n}">',
    "\"><svg onload='window.hit={n}'>",
    "' onmouseover='window.hit={n}' autofocus onfocus='window.hit={n}",
    '<a href="javascript:window.hit={n}">click {n}</a>',
    "javascript:window.hit={n}",
    "<iframe srcdoc='<script>parent.hit={n}</script>'></iframe>",
    "<!-- {n} --><!--><script>window.hit={n}</script>-->",
    "]]><script>window.hit={n}</script><![CDATA[",
    "&lt;script&gt;window.hit={n}&lt;/script&gt; &#60;b&#62; &amp;{n};",
    "<style>@import 'attack-{n}.css'; * {{background: url(attack-{n}.png)}}</style>",
    "<meta http-equiv=refresh content='0;url=attack-{n}.html'><base href='attack-{n}/'>",
    "${{window.hit={n}}} {{{{ 7*{n} }}}} {{% raw %}} #{{ {n} }}",
    "`;window.hit={n};//",
    "\\u003cscript\\u003ewindow.hit={n}\\u003c/script\\u003e",
    '=HYPERLINK("attack-{n}.html";"click")',
    "=cmd|' /C attack-{n}'!A1",
    "+{n}+cmd|' /C attack'!A1",
    "-{n}+cmd|' /C attack'!A1",
    "@SUM({n}+1)*cmd|' /C attack'!A1",
    "\uff1d{n}+1",
    "<b>{n}</b><font size=99>{n}</font><a href='attack-{n}'>x</a><img src='/etc/hostname'/>",
    ") /JS (app.alert({n})) /S /JavaScript >> endobj % {n}",
    "\u202e{n} gnp.exe\u202c\u200b\ufeff",
    "[click {n}](javascript:window.hit={n}) ![x](attack-{n}.png) | a | b",
    "<?xml version='1.0'?><!DOCTYPE x [<!ENTITY e SYSTEM '/etc/hostname'>]>&e;{n}",
    "%s %n %({n})s {{0.__class__}} {n}",
    '{n}" style="position:fixed;inset:0" x="',
)  # fmt: skip
"""`{n}` is the number of the text, so that whatever acts says which it was."""

FREE: dict[str, tuple[str, ...]] = {
    "sources": ("name", "note", "make"),
    "buses": ("name",),
    "grounds": ("name",),
    "switches": ("name",),
    "equipment": ("name", "note"),
    "circuits": ("name", "engraving"),
    "feeders": ("name",),
    "places": ("name",),
    "ways": ("name",),
    "zones": ("name", "closes"),
    "phases": ("name",),
    "build": ("remark",),
    "measured": ("remark",),
}
"""Section → keys of its entries whose text is printed as it stands."""
ABOUT = (
    "name", "description", "owner", "builder", "revision", "date", "change", "registration",
    "serial",
)  # fmt: skip

MORE = """\
build: {com: {state: pulled}, strobe: {state: planned}}
measured: {'com:listen': {amps: 0.45 A}}
accept:
  - {check: load-basis, about: currents, reason: why}
  - {check: device-reach, about: places, reason: why}
"""


def attacked() -> tuple[bytes, list[str]]:
    """The small system with an attack in every free text, each at least once; and the texts."""
    data = plain.texts(FINCH + MORE)
    put: list[str] = []
    for holder, key in _spots(data):
        number = len(put)
        text = ATTACKS[number % len(ATTACKS)].format(n=1000 + number)
        holder[key] = text
        put.append(text)
    return plain.written(data, width=10**6).encode(), put


def _spots(data: Any) -> Iterator[tuple[dict[str, Any], str]]:
    for key in ABOUT:
        yield data["system"], key
    for section, keys in FREE.items():
        entries = data[section]
        for entry in entries.values() if isinstance(entries, dict) else entries:
            for key in keys:
                yield entry, key
    for pins in (data["equipment"]["com"]["connectors"]["J1"]["pins"],):
        yield pins, "3"
    yield from ((one, "reason") for one in data["accept"])
