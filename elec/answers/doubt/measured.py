"""What was measured beside what was expected: how far apart, and the likely cause.

In: `measured:` and `build:`, the system as designed. Out: `Comparison` records. The expected value
comes from the system without any measured value, so that a measurement is never compared with
itself.
"""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec import units
from elec.answers.base.marks import marks
from elec.answers.base.points import points
from elec.answers.base.ticked import lost
from elec.answers.drop.end_to_end import end_to_end
from elec.model.load import Draw
from elec.model.system import Measured, System
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.built import built
from elec.wiring.cases import NORMAL
from elec.wiring.chains import Conductor, chains
from elec.wiring.circuit_model import draws_of
from elec.wiring.demand import cells_factor, demand
from elec.wiring.runs import run_as_planned
from elec.wiring.sources import battery_resistance
from elec.working import Term, Working, computed, within


class Comparison(Struct, frozen=True, kw_only=True):
    """One measured value; `expected` None where nothing can be said, then `unknown` says why.

    `low` and `high` bound what is taken as agreeing, in `unit`.
    """

    about: str
    title: str
    quantity: str
    """`current`, `voltage`, `resistance`, `insulation`."""
    unit: str
    measured: float
    expected: float | None
    low: float = 0.0
    high: float = 0.0
    path: tuple[str | int, ...] = ()
    cause: str = ""
    """What is likely, where it does not agree."""
    unknown: str = ""
    working: Working | None = None

    @property
    def agrees(self) -> bool | None:
        """Whether it lies in the band; None where nothing was expected."""
        if self.expected is None:
            return None
        return within(self.measured, self.low, "at least") and within(self.measured, self.high)


@analysis
def as_designed(study: Study) -> Study:
    """The system without what was measured; the study itself where nothing was."""
    document = study.designed.document
    cut = any(done.cut_m is not None for done in document.build.values())
    if not document.measured and not cut:
        return study
    build = {name: done.model_copy(update={"cut_m": None}) for name, done in document.build.items()}
    bare = document.model_copy(update={"measured": {}, "build": build})
    return Study(System(document=bare, places=study.designed.places))


@analysis
def comparisons(study: Study) -> tuple[Comparison, ...]:
    """Everything measured, in the builder's order."""
    found: list[Comparison] = []
    for name, entry in study.designed.document.measured.items():
        found += _thing(study, name, entry)
    for conductor in chains(study).conductors():
        found += _wire(study, conductor)
    return tuple(found)


def spoken(value: float, unit: str) -> str:
    """A measured value for print.

    >>> spoken(0.214, "Ω"), spoken(1e8, "Ω"), spoken(3.2, "A")
    ('214 mΩ', '100 MΩ', '3.2 A')
    """
    return units.show(value, {"A": "a", "V": "v", "Ω": "ohm"}[unit])


# --- loads, buses, sources, grounds -------------------------------------------------------------


def _thing(study: Study, name: str, entry: Measured) -> Iterator[Comparison]:
    base, _, mode = name.partition(":")
    document = study.designed.document
    if entry.amps_a is not None:
        if base in document.equipment:
            yield _current(study, name, base, mode, entry)
        else:
            why = "only the current of equipment is compared"
            yield _nothing(study, name, ("current", "A"), entry.amps_a, why)
    beside = entry.amps_a is not None and entry.phase is None  # only says at which voltage
    if entry.volts_v is not None and not beside:
        yield _voltage(study, name, base, entry)
    if entry.ohms_ohm is not None:
        yield _resistance(study, name, base, entry.ohms_ohm)


def _title(study: Study, base: str) -> str:
    for section in ("equipment", "sources", "buses", "grounds", "switches"):
        if base in getattr(study.document, section):
            return study.system.title(section, base)
    return base


def _nothing(study: Study, name: str, what: tuple[str, str], value: float, why: str) -> Comparison:
    quantity, unit = what
    return Comparison(
        about=name,
        title=_title(study, name.partition(":")[0]),
        quantity=quantity,
        unit=unit,
        measured=value,
        expected=None,
        path=("measured", name),
        unknown=why,
    )


def _current(study: Study, name: str, base: str, mode: str, entry: Measured) -> Comparison:
    designed = as_designed(study)
    load = demand(designed).loads.get(base)
    draw = draws_of(load).get(mode) if load else None
    amps = entry.amps_a or 0.0
    if draw is None:
        return _nothing(study, name, ("current", "A"), amps, "no current was given before")
    working = _expected_current(study, name, draw, entry)
    expected = working.steps[-1].result.value
    share = default("measured-current-share").si
    cause = (
        "It draws more than its label: look for a stiff motor, a second thing on the same wire, "
        "or a label that gives an average."
        if amps > expected
        else "It draws less than its label: was all of it on? A dead lamp, a weak joint or a label "
        "that gives the greatest current."
    )
    return Comparison(
        about=name,
        title=_title(study, base) + (f", {mode}" if mode else ""),
        quantity="current",
        unit="A",
        measured=amps,
        expected=expected,
        low=expected * (1 - share),
        high=expected * (1 + share),
        path=("measured", name, "amps"),
        cause=cause,
        working=working,
    )


def _expected_current(study: Study, name: str, draw: Draw, entry: Measured) -> Working:
    """What a load draws by its design at the voltage of the measurement."""
    base, _, mode = name.partition(":")
    volts = entry.volts_v or 14.0 * cells_factor(study.system.about.nominal_v)
    place = ("equipment", base, *(("modes", mode) if mode else ()), "draw")
    given = Term(
        draw.by.symbol,
        draw.value,
        draw.by.unit,
        "what the design gives",
        str(study.designed.where(*place)),
    )
    origin = "usual with the engine running"
    if entry.volts_v:
        origin = str(study.designed.where("measured", name, "volts"))
    across = Term("U", volts, "V", "voltage at the measurement", origin)
    step = computed("I", "A", "current expected", draw.by.formula("U"),
                    (given, across) if draw.by.needs_voltage else (given,))  # fmt: skip
    return Working(title=f"Current of {_title(study, base)}", steps=(step,))


def _voltage(study: Study, name: str, base: str, entry: Measured) -> Comparison:
    """A bus or a load: between the least and the most of the phase's cases with all well."""
    designed = as_designed(study)
    volts = entry.volts_v or 0.0
    what = ("voltage", "V")
    at = points(designed)
    if base in study.document.buses:
        values = at.node_v(base)
    else:
        ports = [p.name for p in at.model.ports if p.equipment == base]
        if not ports:
            why = "elec computes no voltage for it"
            return _nothing(study, name, what, volts, why)
        values = np.nanmin([at.load_v(port) for port in ports], axis=0)
    chosen = at.select(phase=entry.phase, condition=entry.condition, scenario=NORMAL.name)
    found = values[chosen & np.isfinite(values)]
    if entry.phase is None and base in study.document.buses:
        why = "say in which phase it was measured (phase: cruise)"
        return _nothing(study, name, what, volts, why)
    if found.size == 0:
        return _nothing(study, name, what, volts, "the network has no solution there")
    apart = default("measured-voltage-band").value * cells_factor(study.system.about.nominal_v)
    low, high = float(found.min()), float(found.max())
    lower = (
        "Lower than computed: a joint, contact or wire between source and here has more resistance "
        "than expected, or more is on than was thought. Measure the drop piece by piece."
    )
    higher = "Higher than computed: the regulator is set higher, or less was on than was thought."
    return Comparison(
        about=name,
        title=_title(study, base),
        quantity=what[0],
        unit=what[1],
        measured=volts,
        expected=(low + high) / 2,
        low=low - apart,
        high=high + apart,
        path=("measured", name, "volts"),
        cause=lower if volts < low else higher,
    )


def _resistance(study: Study, name: str, base: str, ohms: float) -> Comparison:
    what = ("resistance", "Ω")
    document = study.designed.document
    expected: float | None = None
    cause = "A loose, dirty or painted joint: open it, clean it, measure again."
    source = document.sources.get(base)
    if source is not None and source.kind in ("lead-acid", "lithium-iron-phosphate"):
        expected = battery_resistance(as_designed(study), base, source).result.value
        cause = "Above it: old, cold or nearly empty. Load-test the battery."
    elif base in document.grounds:
        expected = document.grounds[base].resistance_ohm
    elif base in document.switches:
        given = document.switches[base].resistance_ohm
        expected = default("switch-resistance").si if given is None else given
    if expected is None:
        return _nothing(study, name, what, ohms, "no value was expected of it")
    share = default("measured-resistance-share").si
    return Comparison(
        about=name,
        title=_title(study, base),
        quantity=what[0],
        unit=what[1],
        measured=ohms,
        expected=expected,
        low=0.0,
        high=expected * (1 + share),
        path=("measured", name, "ohms"),
        cause=cause,
    )


# --- wires --------------------------------------------------------------------------------------


def _wire(study: Study, conductor: Conductor) -> Iterator[Comparison]:
    found = built(study).by_conductor.get(conductor.id)
    if found is None or not found.own or conductor.id not in sizing(study).gauges:
        return
    if conductor.id in lost(study):  # it was read on another wire
        return
    done = found.done
    mark = marks(study)[conductor.id]
    base = Comparison(
        about=found.name,
        title=mark if mark.startswith(found.name) else f"{mark} of {found.name}",
        quantity="resistance",
        unit="Ω",
        measured=0.0,
        expected=None,
    )
    if done.ohms_ohm is not None:
        yield _wire_ohms(study, conductor, base, done.ohms_ohm, done.cut_m)
    if done.insulation_ohm is not None:
        least = default("insulation-least").si
        yield replace(
            base,
            quantity="insulation",
            measured=done.insulation_ohm,
            expected=least,
            low=least,
            high=float("inf"),
            path=("build", found.name, "insulation"),
            cause="A nick, moisture, or a box still connected. Find it before the zone closes.",
        )


def _wire_ohms(
    study: Study, conductor: Conductor, base: Comparison, ohms: float, cut_m: float | None
) -> Comparison:
    path = ("build", base.about, "ohms")
    length = cut_m if cut_m is not None else run_as_planned(study, conductor).length_m
    if length is None:
        return replace(base, measured=ohms, path=path, unknown="its length is not known")
    working = end_to_end(study, conductor, length)
    if working is None:
        return replace(base, measured=ohms, path=path, unknown="its gauge is not known")
    expected = working.steps[-1].result.value
    share, lead = default("measured-resistance-share").si, default("measured-resistance-lead").si
    extra = (ohms - expected) * 1000
    cause = (
        f"{extra:.0f} mΩ too much: a poor crimp, a contact not seated, or a thinner wire than "
        "marked. Pull at both crimps and measure again."
        if ohms > expected
        else "Too little: a second path beside it, the leads not taken off, or the wrong wire."
    )
    return replace(
        base,
        measured=ohms,
        expected=expected,
        low=max(0.0, expected * (1 - share) - lead),
        high=expected * (1 + share) + lead,
        path=path,
        cause=cause,
        working=working,
    )
