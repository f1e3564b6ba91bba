"""What every nut is tightened to and every crimp is made with; what is not known is asked for."""

from collections import Counter
from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.pins import pins
from elec.answers.connect.terminals import ON_TERMINALS, SECTIONS
from elec.pages.bench.proving import force, force_unit
from elec.pages.circuits.pin import has_halves
from elec.pages.columns import by_hand, count, gauge, listed, text
from elec.pages.table import Cell, Table, Value
from elec.sizing.sizing import sizing
from elec.standards import AWGS, table
from elec.study import Study
from elec.units import show
from elec.wiring.chains import Part, chains
from elec.wiring.ends import POSTED, end_text, post_of


def nuts(study: Study) -> Table:
    """Every stud, post and screw with its wires and its torque."""
    ends = _studs(study)
    return Table(
        id="nuts",
        title="Nuts and screws",
        columns=(
            text("what", "Stud, post or screw"),
            text("thread", "Thread"),
            text("wires", "Wires"),
            by_hand("torque_n_m", "Torque"),
            text("look", "Look up"),
            text("ok", "Tight, marked"),
        ),
        rows=(
            *(_nut(study, *key, tuple(wires)) for key, wires in ends.items()),
            *_devices(study),
        ),
        note=(
            "Torque, with a place to write it where it is not known: the maker's of the part that "
            "the stud belongs to (torque: on the bus, ground, switch or source); a table for steel "
            "bolts is too much for the lead of a battery or the brass of a contactor. At most four "
            "terminals on a stud, the largest lowest; hold the stud's own nut while you tighten. "
            "Torque seal over nut and stud."
        ),
    )


Key = tuple[str, str, str]
"""Section of the file, name, and of a source or a contactor the post."""


def _studs(study: Study) -> dict[Key, dict[str, None]]:
    """What is under each nut: wires, jumpers of coils, limiters bolted on, shields."""
    ends: dict[Key, dict[str, None]] = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            for part, comes in ((conductor.a, False), (conductor.b, True)):
                key = _at(study, part, comes=comes)
                if key is not None:
                    ends.setdefault(key, {})[marks(study)[conductor.id]] = None
        for row in chain.rows:
            for n, wire in enumerate(row.conductors):
                pair = row.parts[n : n + 2]
                bolted = [part for part in pair if part.kind in ("limiter", "link", "shunt")]
                bar = next((part for part in pair if part.kind == "bus"), None)
                key = None if bar is None else _at(study, bar)
                if wire is None and bolted and key is not None:
                    ends.setdefault(key, {})[end_text(study, bolted[0])] = None
    for name, cable in study.document.cables.items():
        ground = (cable.drain or "").partition(".")[0]
        if ground in study.document.grounds:
            chain = chains(study).by_name[name]
            said = f"shield of {chain.function}{chain.number}"
            ends.setdefault(("grounds", ground, ""), {})[said] = None
    return ends


def _at(study: Study, part: Part, *, comes: bool = False) -> Key | None:
    section = "sources" if part.kind == "source" else SECTIONS.get(part.kind)
    if section is None or part.name not in getattr(study.document, section):
        return None
    if section == "switches" and study.document.switches[part.name].kind in POSTED:
        return section, part.name, post_of(part, comes=comes)
    return section, part.name, part.contact if section == "sources" else ""


POSTS = {"+": ", positive", "-": ", negative", "": "", "line": ", line post", "load": ", load post"}


def _nut(
    study: Study, section: str, name: str, post: str, wires: tuple[str, ...]
) -> tuple[Value, ...]:
    entry = getattr(study.document, section)[name]
    torque = entry.torque_n_m
    stud = getattr(entry, "stud", None)
    title = study.system.title(section, name)
    return (
        title + POSTS.get(post, f", {post}"),
        Cell(value=None) if stud is None else stud,
        listed(wires),
        Cell(value=None) if torque is None else Cell(value=torque, text=show(torque, "n_m")),
        "" if torque is not None else f"sheet of the maker of {title}",
        "☐",
    )


def _devices(study: Study) -> Iterator[tuple[Value, ...]]:
    """Breakers, fuses, limiters: kind by kind, each with two screws, studs or tabs, and a tick."""
    found: dict[tuple[str, str], list[str]] = {}
    for name, device in sizing(study).devices.items():
        title = chains(study).named(name).title
        found.setdefault((device.kind, device.family), []).append(title)
    for (kind, family), names in found.items():
        what = f"{len(names)} of {kind} {family}".strip()
        look = f"sheet of the maker of the {kind}"
        each = ", ".join(f"☐ {name}" for name in sorted(names))
        yield what, Cell(value=None), each, Cell(value=None), look, ""


def crimps(study: Study) -> Table:
    """Every kind of crimp by gauge, how many, with which tool, and what it must hold."""
    found: Counter[tuple[str, str]] = Counter()
    for conductor in chains(study).conductors():
        sized = sizing(study).gauges.get(conductor.id)
        if sized is None or conductor.role == "coax":
            continue
        for part in (conductor.a, conductor.b):
            kind = (
                "ring" if part.kind in ON_TERMINALS else "splice" if part.kind == "splice" else ""
            )
            if kind:
                found[kind, sized.awg] += 1
    for one in pins(study).by_id.values():
        for pin in one.pins if has_halves(one) else ():
            for landing in pin.landings:
                if landing.gauge in AWGS:
                    found[one.type, landing.gauge] += 1
    pulls = {row.text("awg"): row for row in table("elec/crimp_pull")}
    order = sorted(found.items(), key=lambda item: (item[0][0], AWGS.index(item[0][1])))
    unit = force_unit(study)
    return Table(
        id="crimps",
        title="Crimps",
        columns=(
            text("crimp", "Crimp"),
            text("gauge_awg", "AWG"),
            count("crimps_count", "How many"),
            by_hand("tool", "Tool, locator, die"),
            text("look", "Look up"),
            count(f"pull_{unit.lower()}", f"Must hold, {unit}"),
            text("ok", "Sample pulled"),
        ),
        rows=tuple(
            (
                kind,
                gauge(awg),
                number,
                *_tool(study, kind),
                force(study, pulls[awg].number("military_lbf"))
                if kind == "ring" and awg in pulls
                else "",
                "☐",
            )
            for (kind, awg), number in order
        ),
        note=(
            "Tool: as stock: crimp-tools: says. Each tool with its own die, checked with its "
            "gauge; insulation in its barrel, bare wire seen between; label on before the second "
            "end."
        ),
    )


def _tool(study: Study, kind: str) -> tuple[Value, Value]:
    known = study.document.stock.crimp_tools.get(kind)
    if known:
        return known, ""
    part = {"ring": "terminal", "splice": "splice"}.get(kind, "contact")
    return Cell(value=None), f"sheet of the maker of the {part}"


def terminations(study: Study) -> Iterator[Table]:
    """Both tables."""
    yield nuts(study)
    yield crimps(study)
