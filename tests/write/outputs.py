"""Every output of a system into a folder: `python -m tests.write.outputs SYSTEM OUT`.

Run twice, under other circumstances, it shows whether the same text gives the same bytes.
"""

import sys
from collections.abc import Iterator
from contextlib import redirect_stdout
from io import BytesIO, TextIOWrapper
from itertools import cycle
from pathlib import Path

from elec import cli
from elec.write.register import formats

ANSWERS = (
    ("check",), ("check", "--deep"), ("loads",), ("loads", "--sheet"), ("wires",), ("pins",),
    ("flight",), ("failures",), ("spread",), ("size",), ("buy",), ("measured",), ("done",),
    ("bench",), ("issue",), ("compare",), ("compare", "--sheet", "--reason", "why"),
)  # fmt: skip
"""Commands about the whole system, each in one format, in turn; a book has all of it in most."""
LISTS = ("netlist", "harness", "labels")


def every(system: str, out: Path) -> Iterator[list[str]]:
    """The commands, each with where its output goes."""
    yield ["issue", system, "--reason", "first", "--date", "2031-05-04"]
    text = Path(system) / "system.yaml"
    text.write_text(
        text.read_text(encoding="utf-8").replace("revision: ", "revision: 2"), encoding="utf-8"
    )
    for (command, *more), form in zip(ANSWERS, cycle(formats().values())):
        name = "-".join([command, *(word.strip("-") for word in more)])
        yield [command, system, *more, "-o", str(out / f"{name}{form.endings[0]}")]
    yield ["draw", system, "-o", str(out / "sheets.pdf")]
    yield ["draw", system, "-o", str(out / "sheets")]
    yield ["book", system, "-o", str(out / "book.pdf")]
    yield ["book", system, "-o", str(out / "book")]
    yield ["book", str(out / "book" / "text"), "-o", str(out / "again")]
    for name in LISTS:
        yield ["export", system, "--to", name, "-o", str(out / f"{name}.csv")]
    yield ["schema", "-o", str(out / "schema.json")]
    yield ["new", str(out / "new.yaml")]


def main(system: str, out: Path) -> None:
    """Write all of it; what is printed on the screen is kept, too."""
    out.mkdir()
    said = []
    for command in every(system, out):
        held = TextIOWrapper(BytesIO(), encoding="utf-8")
        with redirect_stdout(held):
            status = cli.main(command)
        held.flush()
        if status not in (0, 1):
            raise SystemExit(f"{' '.join(command)} ended with {status}")
        said.append(held.buffer.getvalue().decode())
    (out / "screen.txt").write_text("".join(said).replace(str(out), "OUT"), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]))
