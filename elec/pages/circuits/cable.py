"""Cables of several cores and coaxial cables."""

from elec.answers.connect.pins import shield_at
from elec.pages.circuits.wire import state
from elec.pages.columns import cut, listed, place_title, text
from elec.pages.table import Table, Value
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.ends import end_text
from elec.wiring.runs import runs


def cables(study: Study) -> Table:
    """Every cable once, with its ends, its shield and how far it is built."""
    return Table(
        id="cables",
        title="Cables",
        columns=(
            text("cable", "Cable"),
            text("mark", "Mark"),
            text("type", "Type"),
            text("from", "From"),
            text("to", "To"),
            text("length_m", "Run"),
            text("shield", "Shield", 2),
            text("serves", "Serves", 2),
            text("run", "Way", 3),
            text("state", "State", 2),
        ),
        rows=tuple(_row(study, chain) for chain in chains(study).of("cable")),
        note=(
            "Shield grounded at one end only carries no current of its own; a coaxial shield is a "
            "conductor."
        ),
    )


def _row(study: Study, chain: Chain) -> tuple[Value, ...]:
    cable = study.document.cables[chain.name]
    mark = f"{chain.function}{chain.number}"
    conductors = chain.conductors()
    run = runs(study)[conductors[0].id].places if conductors else ()
    return (
        chain.title,
        mark,
        cable.type,
        cable_end(study, chain, first=True),
        cable_end(study, chain, first=False),
        cut(study, longest_m(study, chain)),
        _shield(study, chain),
        cable.service or ("spare" if cable.spare else ""),
        ", ".join(place_title(study, place) for place in run),
        state(study, chain, mark),
    )


def longest_m(study: Study, chain: Chain) -> float | None:
    """The run of a cable's longest core; None where that of one is not known."""
    lengths = [runs(study)[c.id].length_m for c in chain.conductors()]
    known = [n for n in lengths if n is not None]
    return max(known) if known and len(known) == len(lengths) else None


def cable_end(study: Study, chain: Chain, *, first: bool) -> str | None:
    """One end of a whole cable: its box, or what its cores end at."""
    parts = [(row.parts[0] if first else row.parts[-1]) for row in chain.rows]
    if not parts:
        return None
    names = {part.name for part in parts}
    if len(parts) > 1 and len(names) == 1 and parts[0].kind == "equipment":
        return study.system.title("equipment", parts[0].name)
    ends = list(dict.fromkeys(end_text(study, part) for part in parts))
    titles = {end.rpartition(", contact ")[0] for end in ends}
    if len(ends) > 1 and len(titles) == 1 and (title := titles.pop()):
        return f"{title}, contacts {listed([end.rpartition(' ')[2] for end in ends])}"
    return "; ".join(ends)


def _shield(study: Study, chain: Chain) -> str | None:
    cable = study.document.cables[chain.name]
    if chain.rows and chain.rows[0].role == "coax":
        return ""
    if "shielded" not in cable.type and cable.shield is None:
        return ""
    if cable.shield is None:
        return "" if cable.spare else None
    at = [
        name
        for name, at_from in (("from", True), ("to", False))
        if shield_at(cable, at_from) == "grounded here"
    ]
    where = " and ".join(f"the {name} end" for name in at)
    drain = f", drain to {_spoken(study, cable.drain)}" if cable.drain else ""
    return f"grounded at {where}{drain}" if at else "grounded nowhere"


def _spoken(study: Study, drain: str) -> str:
    name, _, contact = drain.partition(".")
    for section in ("grounds", "plugs", "equipment"):
        if name in getattr(study.document, section):
            title = study.system.title(section, name)
            return f"{title}, contact {contact}" if contact else title
    return drain
