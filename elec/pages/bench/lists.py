"""Lists for others: a harness shop, a label printer, a program that asks what is joined."""

from collections.abc import Iterator

from elec.answers.build.wire_changes import known_wires
from elec.answers.connect.nets import nets
from elec.pages.bench.table import labels
from elec.pages.columns import cut, gauge, text
from elec.pages.table import Cell, Table, Value
from elec.study import Study


def harness_list(study: Study) -> Table:
    """Every wire and core in one table: all that a shop has to know to make it."""
    return Table(
        id="harness",
        title="Wires to make",
        columns=(
            text("mark", "Mark"),
            text("gauge_awg", "AWG"),
            text("type", "Type"),
            text("colour", "Colour"),
            text("cable", "Cable"),
            text("core", "Core"),
            text("length_m", "Length"),
            text("from", "From"),
            text("from_words", "which is"),
            text("to", "To"),
            text("to_words", "which is"),
            text("belongs", "Of"),
            text("way", "Way"),
        ),
        rows=tuple(
            (
                one.mark, gauge(one.gauge), one.kind, one.colour, *_cable(one.core),
                cut(study, one.length_m), one.ends[0], one.from_, one.ends[1], one.to, one.title,
                one.way,
            )
            for one in known_wires(study)
        ),
        note=(
            "Length: along the way with the share for the route and the slack at both ends; what a "
            "shop needs to strip and crimp comes on top."
        ),
    )  # fmt: skip


def _cable(core: str) -> tuple[str, str]:
    cable, _, name = core.rpartition(".")
    return cable, name if cable else ""


def label_list(study: Study) -> Table:
    """A row a label, in the order in which they are fitted."""
    found = labels(study)
    place = {column.key: k for k, column in enumerate(found.columns)}

    def rows() -> Iterator[tuple[Value, ...]]:
        for row in found.rows:
            many = row[place["labels_count"]]
            bare = many.value if isinstance(many, Cell) else many
            number = int(bare) if isinstance(bare, int | float) else 0
            of = str(number) if number else "?"
            for k in range(number or 2):  # of unknown length: both ends at least
                ends = (row[place[key]] for key in ("from", "to"))
                yield row[place["mark"]], f"{k + 1} of {of}", *ends

    return Table(
        id="label-list",
        title="Labels to print",
        columns=(
            text("mark", "Mark"),
            text("number", "Label"),
            text("from", "From"),
            text("to", "To"),
        ),
        rows=tuple(rows()),
    )


def net_list(study: Study) -> Table:
    """Every point with the net that it belongs to."""
    return Table(
        id="netlist",
        title="What is joined to what",
        columns=(text("net", "Net"), text("point", "Point"), text("wires", "By the wires")),
        rows=tuple(
            (net.name, point, " ".join(net.wires)) for net in nets(study) for point in net.points
        ),
        note=(
            "Wires, mated contacts and splices join. Breakers, fuses, switches, contactors, "
            "shunts, diodes and loads have a point on either side. Shields are left out."
        ),
    )


__all__ = ["harness_list", "label_list", "net_list"]
