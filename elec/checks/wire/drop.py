"""Does each load get its voltage: what is lost between the bus and the load and back?"""

from collections.abc import Iterator

from elec.answers.drop.drops import LoadDrop, drop_about, load_drops
from elec.answers.short.ratings import thicker
from elec.check import check
from elec.checks.answer import amps, apart, longest_run, run_length
from elec.checks.compare import compare
from elec.finding import Finding
from elec.sizing.sizing import sizing
from elec.standards import AWGS, Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.contact_class import contact_ranges
from elec.wiring.limits import limit
from elec.working import within


@check(
    "Little voltage is lost between the bus and each load and back",
    sources=(Cite("ac4313", "11-66", "seen"),),
    limits=("drop-continuous", "drop-intermittent"),
)
def wire_drop(study: Study) -> Iterator[Finding]:
    """A load at too low a voltage works badly: lamps dim, radios fade, motors stall and draw more.

    Counted is the way out and the way back, with the wires as warm as the circular's careful
    estimate makes them, and all contacts, switches and the breaker itself. Take the next thicker
    gauge, shorten the run, or put the ground nearer. Where the equipment's maker allows more, give
    `drop:` on the equipment.
    """
    for found in load_drops(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: LoadDrop) -> Finding:
    rule = limit(study, "drop-intermittent" if found.intermittent else "drop-continuous")
    usual = found.at_peak or found.limit_origin in (str(rule.cite), rule.origin)
    untold = found.unknown or found.lost_v is None
    return compare(
        study,
        drop_about(study, found.circuit, found.load),
        at=("circuits", found.circuit),
        value=None if untold else found.lost_v,
        limit=found.limit_v,
        unit="V",
        says=lambda lost, allowed: _sentence(study, found, lost, allowed, usual=usual),
        remedy=lambda: _remedy(study, found),
        unknown=f"What is lost on the way cannot be told: {found.unknown}.",
        ask="Give the current (draw) or the length that is missing.",
        named=(rule,) if usual else (),
        working=lambda: found.working,
    )


def _sentence(study: Study, found: LoadDrop, lost: str, allowed: str, *, usual: bool) -> str:
    kind = "a load that is on for short times" if found.intermittent else "a load that stays on"
    if found.at_peak:
        kind = "the peak of a load that pulses"
    rule = f"is allowed for {kind}" if usual else f"is allowed ({found.limit_origin})"
    back = f" and {run_length(study, found.back_m)} back" if found.back_m else ""
    return (
        f"{lost} lost on the way; {allowed} {rule}. "
        f"AWG {found.awg}, {run_length(study, found.out_m)} out{back}, "
        f"{amps(found.current_a)}, wire counted at {found.hottest_degc:.0f} °C; the wires lose "
        f"{found.wires_v:.2f} V of it, contacts and devices the rest."
    )


def _remedy(study: Study, found: LoadDrop) -> str:
    device = sizing(study).devices.get(found.circuit)
    if device is not None and device.share is not None and not within(device.share, 1.0):
        return (
            f"Set its {device.kind} right first (device-holds-load): a small one loses more than a "
            "greater one, and decides what is left for the wire."
        )
    ways = []
    awg = thicker(study, chains(study).by_name[found.circuit])
    if awg is not None and awg == found.next_awg and found.next_v is not None:
        would, _ = apart(found.next_v, found.limit_v, "V")
        ways.append(f"AWG {awg} would lose {would}.")
    elif awg is not None:
        ways.append(f"AWG {awg} keeps to it, as warm as it gets.")
    if found.longest_m is not None and not within(found.out_m, found.longest_m):
        also = " and as much back" if found.back_m else ""
        start = "Or shorten" if ways else "Shorten"
        ways.append(f"{start} the run to {longest_run(study, found.longest_m)}{also}.")
    if awg is None and _contacts_take_no_more(study, found):
        start = "Or" if ways else "Its contacts take no thicker wire:"
        ways.append(
            f"{start} lead it through a plug with larger contacts or past it, or let it lose more "
            "where its maker allows it (drop: at the equipment)."
        )
    if not ways:
        ways.append(
            "No gauge makes up for it that its contacts take: these, switch and device lose too "
            "much by themselves. "
            "Take a device of greater rating or fewer contacts."
        )
    return " ".join(ways)


def _contacts_take_no_more(study: Study, found: LoadDrop) -> bool:
    """Whether a thicker gauge would do, and none thicker goes into the contacts on the way."""
    ranges = [
        contact_ranges(study).get(c.id) for c in chains(study).by_name[found.circuit].conductors()
    ]
    here = AWGS.index(found.awg)
    return found.next_awg is not None and any(
        r is not None and AWGS.index(r.thickest) <= here for r in ranges
    )
