"""Follow `tutorial.md` or `recipes.md` in an empty folder; write into it what commands answer.

A block of yaml that begins with `# file` is that file, this line with it, as a reader copies it; a
block of diff under `--- file` changes lines of it, each of which stands there once. The commands of
a block of sh are run one after another, each must end with the status that `# exit status` says
beside it (0 where nothing does). A block of text behind it holds what the last one answered: the
whole, or the lines from one with the first words to one with the others, `<!-- shows: Circuits and
their wires .. radio -->`.
"""

import contextlib
import io
import os
import re
import shlex
import tempfile
from pathlib import Path

BLOCK = re.compile(
    r"(?:<!-- shows: (?P<shows>.*?) -->\n)?```(?P<kind>yaml|diff|sh|text)\n(?P<body>.*?)```\n",
    re.DOTALL,
)
WIDTH = "100"


def walked(text: str) -> str:
    """The document with today's answers; raises ValueError where a step cannot be done."""
    before, columns = Path.cwd(), os.environ.get("COLUMNS")
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        os.environ["COLUMNS"] = WIDTH
        try:
            return _followed(text)
        finally:
            os.chdir(before)
            os.environ.pop("COLUMNS")
            if columns is not None:
                os.environ["COLUMNS"] = columns


def _followed(text: str) -> str:
    written, at, answer = [], 0, ""
    for found in BLOCK.finditer(text):
        written.append(text[at : found.start()])
        at = found.end()
        body = found["body"]
        if found["kind"] == "yaml":
            _write(body)
        elif found["kind"] == "diff":
            _change(body)
        elif found["kind"] == "sh":
            answer = _run(body)
        else:
            shows = found["shows"]
            head = f"<!-- shows: {shows} -->\n" if shows else ""
            written.append(f"{head}```text\n{_part(answer, shows)}\n```\n")
            continue
        written.append(found[0])
    return "".join(written) + text[at:]


def _write(body: str) -> None:
    first = body.split("\n", 1)[0]
    file = Path(first.removeprefix("# "))
    file.parent.mkdir(exist_ok=True)
    file.write_text(body, encoding="utf-8")


def _change(body: str) -> None:
    head, *lines = body.splitlines()
    file = Path(head.removeprefix("--- "))
    text = file.read_text(encoding="utf-8")
    old = "".join(f"{line[1:]}\n" for line in lines if line.startswith("-"))
    new = "".join(f"{line[1:]}\n" for line in lines if line.startswith("+"))
    if text.count(old) != 1:
        raise ValueError(f"{file} holds these lines {text.count(old)} times:\n{old}")
    file.write_text(text.replace(old, new), encoding="utf-8")


def _run(body: str) -> str:
    """What the last of these commands prints."""
    from elec.cli import main

    answer = ""
    for line in body.splitlines():
        command, _, remark = line.partition("#")
        asked = int(remark.split()[-1]) if "exit status" in remark else 0
        shown = io.StringIO()
        with contextlib.redirect_stdout(shown), contextlib.redirect_stderr(shown):
            status = main(shlex.split(command)[1:])
        answer = shown.getvalue()
        if status != asked:
            raise ValueError(f"{command.strip()} ended with {status}, not {asked}:\n{answer}")
    return answer


def _part(answer: str, shows: str | None) -> str:
    lines = [line.rstrip() for line in answer.rstrip().splitlines()]
    if not shows:
        return "\n".join(lines)
    first, _, last = shows.partition(" .. ")
    begin = next((i for i, line in enumerate(lines) if first in line), None)
    if begin is None:
        raise ValueError(f"no line has {first!r} in:\n{answer}")
    end = next((i for i in range(begin, len(lines)) if last and last in lines[i]), begin)
    if last and last not in lines[end]:
        raise ValueError(f"no line has {last!r} in:\n{answer}")
    return "\n".join(lines[begin : end + 1])
