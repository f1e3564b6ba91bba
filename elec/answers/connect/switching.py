"""What every switch, relay and contactor has to carry, and the rating that asks for.

In: chains, demand, the solved feeders. Out: `Switching` by switch. Switches, buttons and relays
are rated by the published factors for lamps, motors and coils; a contactor is made for its duty,
and its current counts as it is.
"""

from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from elec.model.system import Condition
from elec.physics.switch import needed_rating_a
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.standards import NotCovered, cited
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Part, chains
from elec.wiring.demand import circuit_amps, conditions, demand
from elec.working import Term, Working, computed

TABLE_ROWS: Mapping[str, str] = {
    "lamp": "lamp",
    "motor": "motor",
    "inductive": "inductive",
    "heater": "resistive",
    "electronic": "resistive",
    "pulsed": "resistive",
}
"""Character of a load → row of the published table; electronic and pulsed as resistive is our
choice."""


class Switching(Struct, frozen=True, kw_only=True):
    """One switch. `needed_a` is None where it cannot be told; then `unknown` says why."""

    switch: str
    label: str
    kind: str
    path: tuple[str | int, ...]
    rating_a: float | None
    current_a: float
    needed_a: float | None
    """For a switch of several poles: of the pole that needs most."""
    characters: tuple[str, ...]
    working: Working
    unknown: str = ""


AS_IT_IS = ("contactor", "dimmer")
"""Made for their duty: what they carry counts as it is. A dimmer has no contacts that burn; its
rating is what it may carry as long as it is on."""


@analysis
def switching(study: Study) -> Mapping[str, Switching]:
    """Every switch, relay, contactor and changeover that a feeder or circuit names."""
    found: dict[str, Switching] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind not in ("switch", "contactor", "changeover"):
                continue
            made = _pole(study, chain, part)
            other = found.get(part.name)
            if other is None or _worse(made, other):
                found[part.name] = made
    return found


def _worse(made: Switching, other: Switching) -> bool:
    if made.needed_a is None or other.needed_a is None:
        return made.needed_a is None and other.needed_a is not None
    return made.needed_a > other.needed_a


def _pole(study: Study, chain: Chain, part: Part) -> Switching:
    entry = study.document.switches.get(part.name)
    kind = (entry.kind if entry and entry.kind else None) or part.kind
    loads = _feeder(study, chain, part) if chain.kind == "feeder" else _loads(study, chain)
    terms, unknown = [], ""
    plain = kind in AS_IT_IS or chain.kind == "feeder"
    by = "its current as it is" if plain else cited(needed_rating_a)
    for i, (meaning, amps, character) in enumerate(loads, 1):
        if amps is None:
            unknown = f"the current of {meaning} is not known"
            continue
        factor = 1.0
        if not plain:
            try:
                factor = _factor(study.system.about.nominal_v, TABLE_ROWS[character])
            except NotCovered as gap:
                unknown = str(gap)
        terms += [
            Term(f"k{i}", factor, "", f"factor for {character}", by),
            Term(f"I{i}", amps, "A", meaning, f"current of {chain.name}"),
        ]
    pairs = zip(terms[::2], terms[1::2], strict=True)
    step = computed(
        "In", "A", "rating needed", " + ".join(f"{k.symbol} * {a.symbol}" for k, a in pairs), terms,
        source=cited(needed_rating_a) if kind not in AS_IT_IS else "current as it is",
    )  # fmt: skip
    path: tuple[str | int, ...] = chain.path
    if entry is not None:
        path = ("switches", part.name)
    rated = None
    if entry is not None and entry.rating_a is not None:
        rated = Term(symbol="", value=entry.rating_a, unit="A", meaning=f"rating of {part.label}",
                     origin=str(study.system.where("switches", part.name, "rating")))  # fmt: skip
    return Switching(
        switch=part.name,
        label=part.label,
        kind=kind,
        path=path,
        rating_a=entry.rating_a if entry else None,
        current_a=sum(amps or 0.0 for _, amps, _ in loads),
        needed_a=None if unknown else step.result.value,
        characters=tuple(dict.fromkeys(character for _, _, character in loads)),
        working=Working(
            title=f"Rating of {part.label}", steps=(step,) if terms else (), limit=rated
        ),
        unknown=unknown,
    )


@cache
def _factor(nominal_v: float, load: str) -> float:
    """The published multiple of the current that a switch is rated for."""
    return needed_rating_a(current_a=1.0, nominal_v=nominal_v, load=load)


def _loads(study: Study, chain: Chain) -> list[tuple[str, float | None, str]]:
    """(title, greatest current, character) of each load in the moment that asks for most.

    That is where factor times amperes is greatest, not where the amperes are.
    """
    moments = [(p, c) for p in study.document.phases for c in conditions(study)]
    high = study.system.about.nominal_v

    def asked(moment: tuple[str, Condition]) -> float:
        return sum(
            circuit_amps(study, (load,), *moment, "peak")
            * _factor(high, TABLE_ROWS[study.document.equipment[load].character])
            for load in _together(study, chain, moment)
        )

    found = demand(study).loads
    try:
        when = max(moments, key=asked, default=None)
    except NotCovered:
        when = max(moments, key=lambda m: circuit_amps(study, chain.loads, *m), default=None)
    running = _together(study, chain, when) if when else ()
    result: list[tuple[str, float | None, str]] = []
    for load in chain.loads:
        entry = study.document.equipment[load]
        title = study.system.title("equipment", load)
        if entry.passive:
            continue
        if load not in found or not found[load].known or when is None:
            result.append((title, None, entry.character))
            continue
        amps = circuit_amps(study, (load,), *when, "peak") if load in running else 0.0
        result.append((title, amps, entry.character))
    return result


def _together(study: Study, chain: Chain, moment: tuple[str, Condition]) -> tuple[str, ...]:
    """The loads of a circuit that may run in a moment; of exclusive ones the one that asks most."""
    high = study.system.about.nominal_v
    best: dict[str, tuple[float, str]] = {}
    for load in chain.loads:
        entry = study.document.equipment[load]
        asked = circuit_amps(study, (load,), *moment, "peak")
        asked *= _factor(high, TABLE_ROWS[entry.character])
        group = entry.exclusive or f" {load}"
        best[group] = max(best.get(group, (-1.0, "")), (asked, load))
    return tuple(load for _, load in best.values())


def _feeder(study: Study, chain: Chain, part: Part) -> list[tuple[str, float | None, str]]:
    """The greatest lasting current of a feeder; cranking is too short to count."""
    short, currents = cranking(study), sizing(study).currents_a
    amps = max(
        (
            a
            for c in chain.conductors()
            if part.id in (c.a.id, c.b.id)
            for m, a in currents.get(c.id, {}).items()
            if m[0] not in short
        ),
        default=0.0,
    )
    return [(chain.title, amps, "electronic")]
