"""Ground points: what returns there, and the way back to the battery."""

from collections.abc import Iterator

import numpy as np

from elec.answers.base.points import points
from elec.answers.drop.drops import feeder_drops
from elec.answers.grounds.grounding import ground_points
from elec.pages.circuits.feeder import cranked, gauge_of_chain, length_of_chain
from elec.pages.columns import amps, count, metres, place_title, text, volts
from elec.pages.table import Cell, Table, Value
from elec.sizing.order import cranking
from elec.study import Study
from elec.wiring.chains import chains, joined, main_ground


def grounds(study: Study) -> Table:
    """Every ground point, then the negative cable of every source."""
    rows = [
        row
        for name in study.document.grounds
        for row in (_ground_row(study, name), *_second_row(study, name))
    ]
    rows += [_source_row(study, name) for name in study.document.sources]
    return Table(
        id="grounds",
        title="Grounds",
        columns=(
            text("ground", "Ground"),
            text("place", "Place", 2),
            count("returns_count", "Wires on it"),
            count("terminals_count", "Terminals", 3),
            text("to", "To"),
            text("gauge_awg", "AWG"),
            metres("length_m", "Length", 2),
            amps("current_a", "Current", digits=1),
            volts("drop_v", "Rises by", digits=3),
            amps("cranking_a", "Cranking", 3, digits=1),
        ),
        rows=tuple(rows),
        note=(
            "Rises by: how far this ground lies above the next one at its greatest lasting current."
        ),
    )


def _ground_row(study: Study, name: str) -> tuple[Value, ...]:
    ground = study.document.grounds[name]
    head: tuple[Value, ...] = (
        study.system.title("grounds", name),
        place_title(study, ground.place),
        len(ground_points(study)[name].landed),
        ground_points(study)[name].rings,
    )
    chain_name = f"{name}-ground"
    if chain_name not in chains(study).by_name:
        how = "main ground" if name == main_ground(study) else "bonded to the structure"
        return (*head, how, "", "", "", "", "")
    to = ground.to or main_ground(study) or ""
    title = study.system.title("grounds", to) if to else "structure"
    if joined(study, name):
        known = f"{1000 * (ground.resistance_ohm or 0.0):g} mΩ"
        return (*head, title, Cell(value="", text=known), "", *_over_joint(study, chain_name))
    return (*head, title, *_wire(study, chain_name), *_flow(study, chain_name))


def _second_row(study: Study, name: str) -> Iterator[tuple[Value, ...]]:
    """The second wire of a ground, where it has one."""
    ground = study.document.grounds[name]
    if ground.second is not None:
        yield (
            f"{study.system.title('grounds', name)}, second wire",
            place_title(study, ground.place),
            "",
            "",
            study.system.title("grounds", ground.second.to),
            *_wire(study, f"{name}-second"),
            *_flow(study, f"{name}-second"),
        )


def _source_row(study: Study, name: str) -> tuple[Value, ...]:
    source = study.document.sources[name]
    chain_name = f"{name}-negative"
    to = source.ground or main_ground(study)
    return (
        f"{study.system.title('sources', name)}, negative",
        place_title(study, source.place),
        "",
        "",
        study.system.title("grounds", to) if to else "structure",
        *_wire(study, chain_name),
        *_flow(study, chain_name),
    )


def _wire(study: Study, chain_name: str) -> tuple[Value, ...]:
    chain = chains(study).by_name[chain_name]
    return gauge_of_chain(study, chain), length_of_chain(study, chain)


def _over_joint(study: Study, chain_name: str) -> tuple[Value, ...]:
    """Current, rise and cranking current of a ground that is joined without a wire."""
    at, short = points(study), cranking(study)
    amps = np.abs(at.current_a(f"{chain_name}/1"))
    turning = np.array([case.phase in short for case in at.cases])
    counted = at.select(count="momentary") & np.isfinite(amps)
    lasting, cranked_a = (
        float(amps[counted & which].max(initial=0.0)) for which in (~turning, turning)
    )
    ohm = study.document.grounds[chain_name.removesuffix("-ground")].resistance_ohm or 0.0
    return lasting, lasting * ohm, cranked_a or ""


def _flow(study: Study, chain_name: str) -> tuple[Value, ...]:
    drop = feeder_drops(study)[chain_name]
    lost = Cell(value=drop.lost_v, working=drop.working)
    return drop.current_a, lost, cranked(drop)[0]
