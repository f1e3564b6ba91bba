"""Protective devices: what one must hold, what it stays closed on, what it interrupts.

In: demand, a chain with a device. Out: the steps to the least rating that holds its load, curves,
ratings that are made. Which one is taken stands in `elec.sizing.picking`.
"""

import math
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import NamedTuple

from msgspec import Struct

from elec.model.wiring import DeviceKind, Protection
from elec.physics.protection import (
    BREAKER_SPAN_DEGC,
    RATED_DEGC,
    breaker_ambient_factor,
    fuse_ambient_factor,
    greatest_opening_time_s,
    least_opening_time_s,
)
from elec.sizing.own_class import OwnFamily
from elec.standards import (
    Cite,
    CurveBand,
    NotCovered,
    breaker_band,
    breaker_ratings_a,
    cited,
    default,
    fuse_band,
    fuse_ratings_a,
    least_sure,
    table,
)
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import demand, worst_circuit_amps
from elec.wiring.hand import assumed, said
from elec.wiring.limits import Limit, limit
from elec.wiring.surroundings import engine_ambient
from elec.wiring.wires import tap_term
from elec.working import Ref, Step, Term, Working, computed, given, within

DEFAULT_CLASS: Mapping[DeviceKind, str] = {
    "breaker": "thermal",
    "fuse": "blade-c",
    "limiter": "sf51",
    "link": "link",
}


SHORT_USE = Cite("trade", "devices for short use", "memory")
"""That a load on for a short time only, or one that limits itself, may use the whole rating."""


class Device(Struct, frozen=True, kw_only=True):
    """One protective device.

    `rating_a` is None where it cannot be chosen; then `unknown` says why.
    """

    chain: str
    kind: DeviceKind
    family: str
    """Breaker class or fuse family."""
    rating_a: float | None
    chosen: bool
    """True where the program chose the rating."""
    load_a: float | None
    """What it carries for longer than a moment; pulses by their root mean square."""
    needed_a: float | None
    """The least rating that holds the load."""
    peak_a: float | None = None
    """The most at any instant, where loads pulse."""
    peak_unknown: tuple[str, ...] = ()
    """Loads that pulse by their kind, and of which only the average is known."""
    steps: tuple[Step, ...] = ()
    inrush_a: float | None = None
    inrush_s: float | None = None
    unknown: str = ""
    at_far_end: bool = False
    """Whether it is the second device of its feeder."""
    by_floor: bool = False
    """Whether the floor for small ratings decided it."""
    decided: str = ""
    """What decided a chosen rating, where that is more than the load."""
    link_awg: str | None = None
    """The gauge of a fusible link, given or chosen for the wire behind it."""

    @property
    def label(self) -> str:
        """`5 A breaker`, `AWG 22 link`."""
        if self.link_awg is not None and self.rating_a is None:
            return f"AWG {self.link_awg} {self.kind}"
        rating = "? A" if self.rating_a is None else f"{self.rating_a:g} A"
        return f"{rating} {self.kind}"

    @property
    def share(self) -> float | None:
        """The load over what the device holds where it sits; None where either is not known."""
        if self.load_a is None or self.rating_a is None or not self.steps:
            return None
        return max(self.load_a, self.peak_a or 0.0) / self.rating_a / self.warmth

    @property
    def warmth(self) -> float:
        """Share of its rating that is left where it sits; 1 where no load says."""
        return self.steps[-1].terms[-1].value if self.steps else 1.0

    def holds_load(self, rating_a: float) -> bool:
        """Whether a device of that rating would hold the load with room."""
        return within(rating_a, self.needed_a or 0.0, "at least")

    def holds_inrush(self, rating_a: float) -> tuple[bool, float] | None:
        """Whether a device of this class and another rating would stay closed during the inrush.

        And the least time after which it may open; None where no inrush or no curve is known.
        """
        if self.inrush_a is None or self.inrush_s is None:
            return None
        return holds_inrush(
            self.kind, self.family, rating_a, self.inrush_a, self.inrush_s, warmth=self.warmth
        )


class StartCurrent(Struct, frozen=True, kw_only=True):
    """What a device carries while the starter turns."""

    first_a: float
    """In the first turn, as long as it lasts."""
    first_s: float
    turning_a: float
    """After it."""
    turns_s: float
    """How long the starter turns, the first turn counted."""

    def opens_s(self, device: Device, rating_a: float) -> float | None:
        """When a device of this class and that rating may open at the earliest.

        What the first turn uses up is taken off what is left; None where no curve tells.
        """
        alone = [self._alone(device, rating_a, amps) for amps in (self.first_a, self.turning_a)]
        if None in alone:
            return None
        (first_s, first_sure), (turning_s, turning_sure) = (one for one in alone if one is not None)
        opens_s = first_s
        if first_s > self.first_s:
            opens_s = self.first_s + (1 - self.first_s / first_s) * turning_s
        sure = first_sure and (turning_sure or opens_s == first_s)
        return opens_s if sure or opens_s <= self.turns_s else None

    def _alone(self, device: Device, rating_a: float, amps: float) -> tuple[float, bool] | None:
        """When it may open at that current, and whether so or, beyond its curve, even sooner."""
        holds_a = rating_a * min(1.0, device.warmth)
        if amps <= holds_a:
            return math.inf, True
        with suppress(NotCovered):
            band = band_of(device.kind, device.family, rating_a)
            end = max((p.multiple for p in band.points if p.least_s is not None), default=0.0)
            for multiple, sure in ((amps / holds_a, True), (min(amps / holds_a, end), False)):
                with suppress(NotCovered):
                    return least_opening_time_s(band=band, multiple=multiple), sure
        return None


class Interrupts(Struct, frozen=True, kw_only=True):
    """What a device can interrupt, up to which voltage (None: not said), and who says so."""

    current_a: float
    greatest_v: float | None
    origin: str
    source: str = ""
    """The citation in full, where it is a published one."""


def share(study: Study, kind: DeviceKind) -> Limit:
    """The greatest share of its rating that a lasting load uses."""
    return limit(study, "breaker-share" if kind == "breaker" else "fuse-share")


def _degc(study: Study, place: str) -> tuple[float, str]:
    """The temperature around a device, and where it comes from."""
    spot = study.document.places.get(place)
    if spot is not None and spot.ambient_degc is not None:
        return spot.ambient_degc, str(study.system.where("places", place, "ambient"))
    engine, usual = engine_ambient(study, place), default("panel-ambient")
    return (usual.value, usual.origin) if engine is None else (engine.value, engine.origin)


def ambient_factor(
    study: Study, place: str, kind: DeviceKind, family: str, part: Protection | None = None
) -> Step:
    """How the rating changes with the temperature where the device sits."""
    degc, origin = _degc(study, place)
    meaning = f"factor for {degc:.0f} °C at the device"
    warm = Term("Ta", degc, "degC", "temperature at the device", origin)
    compensated = isinstance(family, OwnFamily) and family.compensated
    if compensated or (part is not None and part.compensated):
        return Step(result=Term("f", 1.0, "", f"compensated: the same at {degc:.0f} °C", "given"))
    if kind == "breaker":
        return _breaker_factor(warm, meaning)
    if kind != "fuse":
        return Step(
            result=Term(
                "f", 1.0, "", "no factor for temperature", f"none is published for a {kind}"
            )
        )
    family = "blade-e" if family.startswith("blade") else "mil-prf-23419-9"
    found = table("elec/fuse_ambient")
    try:
        factor = fuse_ambient_factor(family=family, ambient_degc=degc)
    except NotCovered:
        formula = f"min(1, 1 - a * (Ta - {RATED_DEGC:g}))"
        return computed("f", "", meaning, formula, (assumed("fuse-slope", "a", "1/K"), warm),
                        source=default("fuse-slope").source)  # fmt: skip
    rows = least_sure(row.cite for row in found.select(family=family))
    result = Term("f", factor, "", meaning, f"{rows}, {family}, at the {degc:g} °C of {origin}")
    return Step(result=result)


def _breaker_factor(warm: Term, meaning: str) -> Step:
    """The usual slope; beyond the span of breakers its end, with a note that none is known."""
    try:
        return breaker_ambient_factor.step(ambient_degc=warm, meaning=meaning)
    except NotCovered as beyond:
        degc = warm.value
        end = given(
            max(BREAKER_SPAN_DEGC[0], min(degc, BREAKER_SPAN_DEGC[1])),
            f"{cited(breaker_ambient_factor)}; it is {degc:.0f} °C there",
            "end of the span of breakers",
        )
        note = f"at {degc:.0f} °C no factor is known: breakers are made for {beyond.range}"
        return breaker_ambient_factor.step(ambient_degc=end, meaning=meaning, note=note)


def holding(
    study: Study,
    chain: Chain,
    kind: DeviceKind,
    family: str,
    load_a: float,
    *,
    peak_a: float | None,
    lasting: bool,
) -> tuple[Step, ...]:
    """The steps to the least rating that holds a load; the last term of the last is the factor."""
    part = chain.device
    place = part.place if part else ""
    factor = ambient_factor(study, place, kind, family, part.protection if part else None)
    load = Term("I", load_a, "A", "greatest load", _origin(study, chain, load_a),
                Ref("carries", chain.name))  # fmt: skip
    if lasting:
        used = share(study, kind)
        part_used, source = said(used, used.value, "s"), str(used.cite)
    else:
        words = "on for a short time only, or limited by itself: the whole rating"
        source = str(SHORT_USE)
        part_used = Term("s", 1.0, "", words, source)
    formula, terms = "I / s / f", [load, part_used, factor.term]
    if peak_a is not None:
        most = Term("Ip", peak_a, "A", "the most at any instant", _origin(study, chain, 0.0))
        formula, terms = "max(I / s / f, Ip / f)", [load, part_used, most, factor.term]
    needed = computed("In", "A", "least rating that holds the load", formula, terms, source=source)
    return (factor, needed)


def rating_working(study: Study, device: Device) -> Working | None:
    """From the load to the least rating, against the rating that the device has."""
    if not device.steps:
        return None
    chain = chains(study).by_name[device.chain]
    limit_ = None
    if device.rating_a is not None:
        where = study.system.where(*chain.path, device.kind)
        origin = (device.decided or "the next standard rating") if device.chosen else str(where)
        limit_ = Term("", device.rating_a, "A", f"rating of the {device.kind}", origin)
    return Working(title=f"Rating for {chain.title}", steps=device.steps, limit=limit_)


def _origin(study: Study, chain: Chain, load_a: float) -> str:
    if chain.kind == "wire" and (term := tap_term(study, chain)) is not None:
        return term.origin
    counted = worst_circuit_amps(study).get(chain.name)
    if counted is not None and not within(load_a, counted):
        return f"solved network, where its bus is lowest; counted are {counted:.3g} A"
    if chain.loads:
        lines = [str(study.system.where("equipment", load)) for load in chain.loads]
        return f"current of {chain.name}: {', '.join(lines)}"
    return "solved network, or the limit of the alternator"


def inrush(study: Study, chain: Chain) -> tuple[float | None, float | None]:
    """Current and time of the greatest inrush of a circuit's loads switched on together."""
    most, lasts = 0.0, 0.0
    found = demand(study)
    for name in chain.loads:
        entry = study.document.equipment[name]
        load = found.loads.get(name)
        if entry.inrush is None or load is None:
            continue
        draws = [m.peak for modes in load.phases.values() for m in modes if m.peak is not None]
        amps = max((found.highest_a(draw) for draw in draws), default=0.0)
        given = entry.inrush.current_a
        most += (entry.inrush.factor or 1.0) * amps if given is None else given
        lasts = max(lasts, entry.inrush.lasts_s)
    return (most, lasts) if most > 0 else (None, None)


def band_of(kind: DeviceKind, family: str, rating_a: float) -> CurveBand:
    """The time-current band of a device.

    Raises:
        NotCovered: no curve is known.
    """
    if isinstance(family, OwnFamily):
        if not family.band.points:
            raise NotCovered("class", str(family), "no curve is given", "the builder's data")
        return family.band
    return breaker_band(family) if kind == "breaker" else fuse_band(family, rating_a)


def longest_s(device: Device, rating_a: float, amps: float) -> float | None:
    """The longest time until a device of this class and that rating opens at a current.

    Infinite where it may hold; None where no curve is known.
    """
    try:
        band = band_of(device.kind, device.family, rating_a)
    except NotCovered:
        return None
    if not any(point.most_s is not None for point in band.points):
        return None
    return greatest_opening_time_s(band=band, multiple=amps / rating_a)


def curve_is_assumed(device: Device) -> bool:
    """Whether its curve is one of a whole class that nobody here read, and not that of the part."""
    try:
        cite = band_of(device.kind, device.family, device.rating_a or 1.0).cite
    except NotCovered:
        return False
    return cite.document != "builder" and cite.certainty not in ("seen", "computed")


def none_listed(kind: DeviceKind, family: str, needed_a: float) -> str:
    """Why no rating is chosen: the greatest one is too small, or no rating is listed at all."""
    listed = ratings_of(kind, family)
    if listed:
        return (
            f"no standard {kind} of class {family} holds {needed_a:.1f} A; "
            f"the largest listed is {max(listed):g} A"
        )
    return f"no ratings of a {kind} of class {family} are listed here; write the rating of yours"


def ratings_of(kind: DeviceKind, family: str) -> tuple[float, ...]:
    """Standard ratings of a device class; empty where none are listed."""
    if kind == "breaker":
        return breaker_ratings_a()
    if isinstance(family, OwnFamily):
        family = DEFAULT_CLASS[kind]
    try:
        return fuse_ratings_a(family)
    except NotCovered:
        return ()


def holds_inrush(
    kind: DeviceKind,
    family: str,
    rating_a: float,
    inrush_a: float,
    inrush_s: float,
    *,
    warmth: float,
) -> tuple[bool, float] | None:
    """Whether the device stays closed during an inrush, and the least time after which it may open.

    A warm device opens sooner: `warmth` is the share of its rating that is left where it sits. None
    where no curve is known.
    """
    try:
        band = band_of(kind, family, rating_a)
        least = least_opening_time_s(band=band, multiple=inrush_a / (rating_a * min(1.0, warmth)))
    except NotCovered:
        return None
    return least > inrush_s, least


class DropLimit(NamedTuple):
    """The drop that is allowed between the bus and a load and back."""

    volts: float
    origin: str
    at_peak: bool
    """Whether it is that of a load that pulses, at its peak."""


def drop_limit_v(study: Study, load: str) -> DropLimit:
    """The drop that is allowed between the bus and a load and back, and where that stands."""
    entry = study.document.equipment[load]
    if entry.drop_v is not None:
        where = str(study.system.where("equipment", load, "drop"))
        return DropLimit(entry.drop_v, where, at_peak=False)
    short = is_intermittent(study, load)
    rule = _drop_rule(study, intermittent=short)
    cite = rule.source
    ratio = peak_ratio(study, load)
    if short or ratio <= 1:
        return DropLimit(rule.value, cite, at_peak=False)
    most = min(allowed_drop_v(study, intermittent=True), rule.value * ratio)
    return DropLimit(most, f"{cite}, {AT_PEAK}", at_peak=True)


AT_PEAK = "at its peak: as for a short time, and its root mean square as one that stays on"


def peak_ratio(study: Study, load: str) -> float:
    """The peak of a load over its root mean square, in the mode that takes most; 1: no pulses."""
    return _peak_ratios(study).get(load, 1.0)


@analysis
def _peak_ratios(study: Study) -> Mapping[str, float]:
    found = demand(study)
    ratios: dict[str, float] = {}
    for name, load in found.loads.items():
        every = [
            (found.highest_a(m.peak), found.highest_a(m.heating))
            for modes in load.phases.values()
            for m in modes
            if m.peak is not None and m.heating is not None
        ]
        peak, heat = max(every, default=(0.0, 0.0))
        ratios[name] = peak / heat if heat > 0 else 1.0
    return ratios


def is_intermittent(study: Study, load: str) -> bool:
    """Whether a load is on for short times only, by the builder's word or by its phases."""
    found = demand(study).loads.get(load)
    entry = study.document.equipment[load]
    return entry.intermittent or (found is not None and found.intermittent)


def allowed_drop_v(study: Study, *, intermittent: bool) -> float:
    """The drop that the published table allows at the system's voltage, or the builder's less."""
    return _drop_rule(study, intermittent=intermittent).value


def _drop_rule(study: Study, *, intermittent: bool) -> Limit:
    return limit(study, "drop-intermittent" if intermittent else "drop-continuous")


def ultimate_trip(device: Device) -> float | None:
    """The multiple of its rating at which a device must open at all; None: not published."""
    if device.rating_a is None:
        return None
    try:
        return band_of(device.kind, device.family, device.rating_a).ultimate_trip
    except NotCovered:
        return None


def interrupts(study: Study, device: Device) -> Interrupts | None:
    """The greatest current that a device interrupts: given, else of its class; None: not known."""
    chain = chains(study).by_name[device.chain]
    seen = chain.far if device.at_far_end and chain.far is not None else chain
    part = seen.device
    given = part.protection.interrupts_a if part and part.protection else None
    if given is not None:
        where = study.system.where(*seen.path, device.kind)
        return Interrupts(current_a=given, greatest_v=None, origin=str(where))
    if isinstance(device.family, OwnFamily) and device.family.interrupts_a is not None:
        return Interrupts(
            current_a=device.family.interrupts_a,
            greatest_v=None,
            origin=device.family.band.cite.where,
        )
    return _published(device.kind, device.family)


def kinds_for(device: Device, amps: float, volts: float) -> Iterator[str]:
    """Kinds of the same rating that interrupt a current at a voltage: `breaker (6000 A)`."""
    for kind, family in DEFAULT_CLASS.items():
        can = _published(kind, family)
        if can is None or can.greatest_v is None or device.rating_a not in ratings_of(kind, family):
            continue
        if within(volts, can.greatest_v) and within(amps, can.current_a):
            yield f"{kind} ({can.current_a:g} A)"


def _published(kind: DeviceKind, family: str) -> Interrupts | None:
    key = f"breaker-{family}" if kind == "breaker" else family
    rows = table("elec/interrupt_capacity").select(device=key)
    if not rows:
        return None
    row = rows[0]
    return Interrupts(
        current_a=row.number("interrupt_a"),
        greatest_v=row.number("greatest_v"),
        origin=str(row.cite),
        source=str(row.cite),
    )
