"""Texts that the drawings share: title block, lengths, gauges, marks."""

import math
from collections.abc import Mapping, Sequence

from elec import units
from elec.answers.base.marks import gauge_of, marks
from elec.answers.build.care import care_of
from elec.answers.connect.pins import colour_of
from elec.cautions import CARE
from elec.drawings import inputs
from elec.drawings.sheet import Size, TitleBlock
from elec.model.names import as_words
from elec.model.wiring import Coax
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Conductor, Part
from elec.wiring.coils import CONTACTS, coil_chain
from elec.wiring.runs import runs

CAUTIONS = (CARE["wires"],)
"""On every sheet with wires; the advice stands in the title block, and whole on that of symbols."""

COUNTED = inputs.COUNTED
"""Of a switch with three contacts a pole, a sentence over its circuit says which its lever joins
where."""
NOT_KNOWN = "length ?"


def cautions(study: Study, loads: Sequence[str]) -> tuple[str, ...]:
    """Those of a sheet about some loads: their own, and last what stands on every such sheet."""
    own = care_of(study, loads)
    return (*own, CARE["wires"]) if own else CAUTIONS


def title_block(study: Study, title: str, sheet: int = 1) -> TitleBlock:
    """The title block of a sheet of this system."""
    about = study.system.about
    return TitleBlock(
        owner=about.people,
        title=title[:1].upper() + title[1:],
        number=about.name,
        revision=about.revision,
        date=about.date,
        change=about.change,
        sheet=sheet,
    )


def paper(study: Study, *, large: bool) -> Size:
    """The builder's paper, or twice that for the one-line diagram of a large system."""
    if study.system.about.paper == "Letter":
        return "Tabloid" if large else "Letter"
    return "A3" if large else "A4"


def place(study: Study, name: str) -> str:
    """A place for print."""
    return study.system.title("places", name)


def structure(study: Study, place_name: str) -> str:
    """The metal of a place for print, the same on every sheet."""
    return f"structure, {place(study, place_name)}"


def length(study: Study, length_m: float | None) -> str:
    """A length for print; says so when it is not known."""
    if length_m is None or not math.isfinite(length_m):
        return NOT_KNOWN
    return units.cut_length(length_m, study.system.about.units)


def total_length(study: Study, conductors: Sequence[Conductor]) -> str:
    """The length of several conductors one after the other."""
    found = [runs(study)[c.id].length_m for c in conductors]
    known = [m for m in found if m is not None]
    return length(study, sum(known) if len(known) == len(found) else None)


WHOLE_A = 99.95
"""From here on amperes have no tenths: nothing is known so well."""


def amps(current_a: float | None) -> str:
    """A current for a column of currents; `?` where it is not known."""
    if current_a is None:
        return "?"
    if current_a >= WHOLE_A:
        return f"{current_a:.0f}"
    return f"{current_a:.1f}" if current_a >= 0.1 or current_a == 0 else f"{current_a:.2f}"


LEAST_SHOWN_V = 0.01
"""Volts of drop are shown to two places; what is less and no zero is said in words."""


def lost_volts(lost_v: float) -> str:
    """A voltage drop for print; a small one never reads as none."""
    if 0 < lost_v < LEAST_SHOWN_V:
        return f"under {units.show(LEAST_SHOWN_V, 'v', digits=2)}"
    return units.show(lost_v, "v", digits=2)


def coil_sheet(study: Study, part: Part, sheets: Mapping[str, tuple[str, str]]) -> str:
    """The sheet on which the coil of a contact is drawn; empty where it has none."""
    if part.kind not in CONTACTS:
        return ""
    chain = coil_chain(study, part.name)
    return sheets.get(chain.name, ("",))[0] if chain is not None else ""


def gauge(study: Study, conductor: Conductor) -> str:
    """The gauge for print; of a coaxial line its type."""
    cable = study.document.cables.get(conductor.cable or "")
    if isinstance(cable, Coax):
        return cable.type
    size = gauge_of(sizing(study).gauges, conductor)
    return "gauge ?" if size == "?" else units.show_gauge(size)


def drawn_conductor(study: Study, conductor: Conductor | None) -> inputs.DrawnWire:
    """A conductor with its texts; without one two parts touch."""
    if conductor is None:
        return inputs.DrawnWire()
    cable = study.document.cables.get(conductor.cable or "")
    name = "" if cable is None else (cable.name or as_words(conductor.cable or ""))
    return inputs.DrawnWire(
        ref=conductor.id,
        mark=marks(study)[conductor.id],
        gauge=gauge(study, conductor),
        colour="" if conductor.role == "coax" else colour_of(conductor),
        length=length(study, runs(study)[conductor.id].length_m),
        cable=name,
    )
