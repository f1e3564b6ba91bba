"""Lines of a file keep their indent and their line ends in every format that prints text."""

import json
import subprocess
from pathlib import Path

from elec.pages.document import Paragraph, Section
from elec.write.register import Options, named

LINES = "--- a.yaml\n+++ a.yaml\n+  lamp:\n+    draw: 1 A   # <b> & *so*\x1b[31m"
SECTION = Section(id="s", title="S", blocks=(Paragraph(text=LINES, kind="verbatim"),))


def written(form: str) -> str:
    return named(form).write(SECTION, Options(width=20)).decode()


def test_text_neither_wraps_nor_lets_a_terminal_be_steered() -> None:
    text = written("text").splitlines()
    assert "+  lamp:" in text
    assert "+    draw: 1 A   # <b> & *so*\ufffd[31m" in text


def test_markdown_takes_it_for_code() -> None:
    assert "    +  lamp:\n    +    draw: 1 A   # <b> & *so*\ufffd[31m" in written("markdown")


def test_html_escapes_it() -> None:
    page = written("html")
    block = page[page.index("<pre>") : page.index("</pre>")]
    assert "+  lamp:\n+    draw: 1 A   # &lt;b&gt; &amp; *so*" in block


def test_json_has_it_whole() -> None:
    (block,) = json.loads(written("json"))["blocks"]
    assert block == {"kind": "verbatim", "text": LINES}


def test_pdf_prints_line_by_line(tmp_path: Path) -> None:
    file = tmp_path / "s.pdf"
    file.write_bytes(named("pdf").write(SECTION, Options()))
    text = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout
    found = [line.strip().replace("\u00a0", " ") for line in text.splitlines() if "+" in line]
    assert [line.split()[0] for line in found] == ["+++", "+", "+"]
