"""Does a load that is switched turn the compass?"""

import math
from collections.abc import Iterator, Sequence

from elec.answers.fields.field import Disturbance, Disturbed, disturbed
from elec.answers.fields.field_working import field_working
from elec.check import check
from elec.checks.answer import amps, answer, count, length, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.physics.magnetics import worst_deviation_deg
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import Limit, limit
from elec.working import within

MANUAL = Cite("magnetometer_manual", "interference test", "seen")
PLACARD = Cite("cfr_23", "23.1327", "memory")
JUDGED = Cite("elec", "magnetic sensor", "judgement")


@check(
    "No load that is switched disturbs a compass or magnetometer",
    sources=(MANUAL, PLACARD),
    limits=("magnetometer-step-horizontal", "magnetometer-step-vertical", "compass-step"),
    given="sensors",
)
def sensor_step(study: Study) -> Iterator[Finding]:
    """A constant field is compensated when the compass is swung; one that is switched is not.

    A wire whose return lies beside it hardly shows; one whose current comes back another way, or
    through the airframe, does. Lead the return with the feed, twist the two (`twisted: yes` on the
    circuit), or move one of wire and sensor. The test in flight condition, each load on and off,
    decides.
    """
    for found in disturbed(study).values():
        yield from _sensor(study, found)


def _sensor(study: Study, found: Disturbed) -> Iterator[Finding]:
    at = ("sensors", found.sensor)
    gaps = _gaps(study, found)
    each = [_over(study, found, one) for one in found.disturbances]
    bad = [one for one in each if one.verdict is not Verdict.PASS]
    yield from bad
    if gaps:
        yield answer(
            study,
            found.sensor,
            Verdict.CANNOT_TELL,
            f"{found.title}: the field at it cannot be told: {gaps}.",
            at=at,
            remedy="Give stations (and buttlines, waterlines) to the places and to the sensor.",
        )
        return
    near = [one for one in found.disturbances if _maybe(study, found, one)]
    if near:
        near.sort(key=lambda d: (-d.within_t, d.equipment))
        yield _inside(study, found, near)
    elif not bad:
        yield _fine(study, found)


def _gaps(study: Study, found: Disturbed) -> str:
    texts: list[str] = []
    if found.unknown:
        names = [study.system.title("places", place) for place in found.unknown]
        verb = "has" if len(names) == 1 else "have"
        texts.append(f"{listed(names)} {verb} no station")
    if found.too_near:
        texts.append(
            f"it lies on the line of the way {listed(found.too_near)}, nearer than places on a map "
            "are known"
        )
    if found.unsolved:
        names = [study.system.title("equipment", name) for name in found.unsolved]
        texts.append(f"the network has no solution with {listed(names)} on")
    return "; ".join(texts)


def _maybe(study: Study, found: Disturbed, one: Disturbance) -> bool:
    """Whether only the wires within a place may bring a load above what is allowed."""
    value, allowed, _ = _compared(study, found, one)
    return within(value, allowed) and not within(value + one.within_t, allowed)


def _inside(study: Study, found: Disturbed, near: Sequence[Disturbance]) -> Finding:
    """Wires that begin and end within a place: how they lie there no map says.

    The sensor's `clear:` says how near they pass; then the most that they do is told, and what to
    do about it.
    """
    one = near[0]
    value, allowed, _ = _compared(study, found, one)
    clear = study.document.sensors[found.sensor].clear_m
    place = study.system.title("places", one.within)
    title, *others = [study.system.title("equipment", d.equipment) for d in near]
    more = f"; {listed(others, most=2)} too" if others else ""
    most = value + one.within_t
    what = f"{title}, {amps(one.change_a)} through wires within {place},"
    if found.kind == "compass" and most < found.earth_field_t:
        turn = worst_deviation_deg(field_t=most, horizontal_field_t=found.earth_field_t)
        does = f"{what} may turn it by as much as {turn:.0f}° while it is on{more}"
    else:
        field = f"{_micro(most):.1f} µT; {_micro(allowed):.2f} µT is allowed"
        does = f"{what} may change its field by {field}{more}"
    how = "how near they pass is not said"
    if clear is not None:
        how = f"with the wires {length(study, clear)} away"
    sure = clear is not None and found.kind == "compass"
    return compare(
        study,
        found.sensor,
        at=("sensors", found.sensor),
        value=_micro(most),
        limit=_micro(allowed),
        unit="µT",
        says=f"{found.title}: {does}; {how}.",
        otherwise=Verdict.ADVISE,
        unsure=() if sure else (Verdict.ADVISE,),
        remedy=_keep_away(study, one, allowed - value)
        + ("" if clear is not None else "Write clear: on the sensor, how far they keep from it. ")
        + (
            "Switch each load on and off when you swing the compass; what turns it by more than "
            "10° a placard has to name."
            if found.kind == "compass"
            else "The interference test decides: each load on and off."
        ),
        sources=_sources(found),
    )


def _keep_away(study: Study, one: Disturbance, room_t: float) -> str:
    """At what distance of the wires nothing is left to say."""
    half = one.within_m / 2
    if within(room_t, 0.0):
        return ""
    squared = 2e-7 * one.within_a * half / room_t
    away = math.sqrt((math.sqrt(half**4 + 4 * squared**2) - half**2) / 2)
    return f"Keep its wires {length(study, away)} away, or lead its return beside the feed. "


def _limits(study: Study, found: Disturbed) -> tuple[Limit, float, float | None]:
    """The limit in force, and the fields it allows, in tesla: horizontal, vertical."""
    if found.kind == "compass":
        step = limit(study, "compass-step")
        return step, found.earth_field_t * math.sin(math.radians(step.value)), None
    flat = limit(study, "magnetometer-step-horizontal")
    return flat, flat.value, limit(study, "magnetometer-step-vertical").value


def _compared(study: Study, found: Disturbed, one: Disturbance) -> tuple[float, float, str]:
    """The change, what is allowed, and in which direction, of the axis that is nearest."""
    _, flat_t, up_t = _limits(study, found)
    if up_t is None:
        return one.horizontal_t, flat_t, "horizontally"
    aft, right, up = one.most_t
    level = max(aft, right)
    if up / up_t > level / flat_t:
        return up, up_t, "up and down"
    return level, flat_t, "lengthwise" if aft >= right else "sideways"


def _share(study: Study, found: Disturbed, one: Disturbance) -> float:
    value, allowed, _ = _compared(study, found, one)
    return value / allowed


def _turn(found: Disturbed, one: Disturbance) -> str:
    ratio = one.horizontal_t / found.earth_field_t
    if ratio >= 1:
        return "to any heading, for that is more than the earth's own field"
    turn = worst_deviation_deg(field_t=one.horizontal_t, horizontal_field_t=found.earth_field_t)
    most = _shown(turn, 1)
    return f"{most if most.startswith('less') else f'up to {most}'}° on the worst heading"


def _over(study: Study, found: Disturbed, one: Disturbance) -> Finding:
    value, allowed, way = _compared(study, found, one)
    title = study.system.title("equipment", one.equipment)
    how = _path(study, one)
    loose = _loose(one)
    back = study.system.about.return_ == "airframe" and loose
    remedy = (
        "Give it a return wire of its own beside the feed, twisted with it, or move the sensor."
        if back
        else "Lead the return with the feed all the way, or move the wire or the sensor."
        if loose
        else "Twist feed and return (twisted: yes on the circuit), or move the wire or the sensor."
    )
    return compare(
        study,
        f"{found.sensor}, {one.equipment}",
        at=("equipment", one.equipment),
        value=_micro(value),
        limit=_micro(allowed),
        unit="µT",
        says=f"{title} switched on changes the field at {found.title} by {_micro(value):.2f} µT "
        f"{way}; {_micro(allowed):.2f} µT is allowed. A compass turns {_turn(found, one)}. {how}",
        remedy=remedy,
        otherwise=Verdict.ADVISE if found.kind == "compass" else Verdict.FAIL,
        working=lambda: field_working(study, found, one),
        sources=_sources(found),
    )


def _micro(tesla: float) -> float:
    return tesla * 1e6


def _shown(value: float, digits: int) -> str:
    """A number with its decimals; what rounds to nothing is not said to be nothing."""
    text = f"{value:.{digits}f}"
    return text if float(text) else f"less than {10**-digits:g}"


def _loose(one: Disturbance) -> bool:
    """Whether more than a twentieth of its current comes back another way."""
    return abs(one.worst_net_a) > 0.05 * one.change_a


def _path(study: Study, one: Disturbance) -> str:
    if one.worst is None:
        return ""
    ends = " to ".join(study.system.title("places", place) for place in one.worst)
    share = f"{min(1.0, one.worst_share):.0%}".replace("%", " %")
    if _loose(one):
        return (
            f"Most of it comes from {ends}, where {amps(abs(one.worst_net_a))} of its "
            f"{amps(one.change_a)} do not return beside the feed."
        )
    return f"{share} of it comes from {ends}, feed and return lying loose side by side."


def _fine(study: Study, found: Disturbed) -> Finding:
    at = ("sensors", found.sensor)
    if not found.disturbances:
        return answer(
            study,
            found.sensor,
            Verdict.PASS,
            f"{found.title}: no load is switched in flight.",
            at=at,
            sources=_sources(found),
        )
    one = max(found.disturbances, key=lambda d: (_share(study, found, d), d.equipment))
    value, allowed, way = _compared(study, found, one)
    title = study.system.title("equipment", one.equipment)
    return compare(
        study,
        found.sensor,
        at=at,
        value=_micro(value),
        limit=_micro(allowed),
        unit="µT",
        says=f"{found.title}: of {count(len(found.disturbances), 'load')}, {title} does most: "
        f"{_shown(_micro(value), 3)} µT {way} of {_micro(allowed):.2f} µT, a compass turns "
        f"{_turn(found, one)}.",
        working=lambda: field_working(study, found, one),
        sources=_sources(found),
    )


def _sources(found: Disturbed) -> tuple[str, ...]:
    return (str(JUDGED), str(PLACARD)) if found.kind == "compass" else (str(MANUAL),)
