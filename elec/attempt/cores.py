"""What a spare core can still take: by heat in the warmest spot of its run, and by its drop.

In: a study, the name of a spare cable or one of its cores. Out: `Room`, from the numbers alone.
"""

from elec.answers.connect.free import allowed_a
from elec.answers.connect.spares import core_ohm
from elec.attempt.room import Bound, Room
from elec.attempt.spot import analysis_volts
from elec.finding import Finding, Verdict
from elec.model.wiring import Coax
from elec.physics.drop import crimped_ohm, wire_drop_v
from elec.sizing.devices import allowed_drop_v
from elec.standards import cites, copper, default
from elec.study import Study
from elec.wiring.chains import Conductor, chains
from elec.wiring.hand import assumed, resistance_term, said
from elec.wiring.runs import runs
from elec.working import Term, Working, computed, given, leading_to


def room_of_core(study: Study, name: str) -> Room | None:
    """The most that a lasting load may draw over a spare core; None where there is no such cable.

    Where the cable has another core, the load returns over that.
    """
    cable, _, key = name.partition(".")
    entry = study.document.cables.get(cable)
    if entry is None or isinstance(entry, Coax):
        return None
    cores = {c.core or "": c for c in chains(study).by_name[cable].conductors()}
    core = cores.get(key) if key else next(iter(cores.values()), None)
    if core is None or core.gauge is None:
        return None
    bounds = sorted(
        (b for b in (_heat(study, name, core), *_drops(study, name, core, len(cores))) if b),
        key=lambda b: b.room_a,
    )
    return Room(
        name=name,
        kind="core",
        bus="",
        place=core.b.place,
        voltage_v=analysis_volts(study),
        extra_a=bounds[0].room_a if bounds else None,
        bounds=tuple(bounds),
        beyond=(),
        runs=0,
    )


def _heat(study: Study, name: str, core: Conductor) -> Bound:
    allowed = allowed_a(study, core, core.gauge or "")
    text = f"{name}, AWG {core.gauge}, may carry {allowed:.1f} A in the warmest spot of its run."
    return _bound("wire-heat", name, allowed, text, unit="A", limit=allowed)


def _drops(study: Study, name: str, core: Conductor, cores: int) -> list[Bound]:
    length = runs(study)[core.id].length_m
    if length is None:
        return []
    hot = default("hot-resistance")
    wire = copper(core.gauge or "")
    ways = 2 if cores > 1 else 1
    ohms = crimped_ohm.step(
        resistance_20degc_ohm_per_m=resistance_term(wire),
        length_m=given(length, "", "length of the core"),
        conductor_degc=said(hot, hot.value),
        joint_ohm=assumed("joint-resistance"),
        zero_degc=wire.zero_degc,
    )
    count = Term("n", float(ways), "", "cores that it passes, out and back")
    ohm = core_ohm(study, core, ways)
    if ohm is None:
        return []
    found = []
    for short in (False, True):
        allowed = allowed_drop_v(study, intermittent=short)
        kind = "a load that is on for short times" if short else "a load that stays on"
        limit = Term("V", allowed, "V", f"drop allowed for {kind}")
        step = computed("I", "A", f"the most for {kind}", "V / (n * Re)", (limit, count, ohms),
                        source=str(cites(wire_drop_v)[0]))  # fmt: skip
        text = f"{allowed:.2f} V would be lost over {name} alone, allowed for {kind}."
        working = Working(title=f"What {name} can take by its drop", steps=leading_to(step))
        about = f"{name}, {'intermittent' if short else 'continuous'}"
        found.append(
            _bound(
                "wire-drop",
                about,
                step.result.value,
                text,
                unit="V",
                limit=allowed,
                working=working,
            )
        )
    return found


def _bound(
    check: str,
    about: str,
    room_a: float,
    text: str,
    *,
    unit: str,
    limit: float,
    working: Working | None = None,
) -> Bound:
    now = Finding(
        check=check,
        about=about,
        verdict=Verdict.PASS,
        sentence=text,
        limit=limit,
        unit=unit,
        made=working,
    )
    return Bound(check=check, about=about, room_a=room_a, becomes=Verdict.FAIL, now=now, found=True)
