"""Does the voltage hold when everything is on at once?"""

from collections.abc import Iterator

from elec.answers.loads.loads import loads
from elec.answers.loads.margins import SHORT_A, BusDip, dips, the
from elec.check import check
from elec.checks.answer import amps, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.circuit_model import usual_minimum_v
from elec.working import within


@check(
    "The buses hold their voltage when everything is on at once",
    sources=(
        Cite("cs_vla", "1351(a)(1)", "seen"),
        Cite("mil_e_7016", "5-second demand", "memory"),
    ),
)
def alternator_momentary(study: Study) -> Iterator[Finding]:
    """Gear, flaps, pump and transmitter together can ask more than the alternator gives.

    For those seconds the battery helps, and the voltage falls to what the battery has. It must
    stay above what equipment works down to. Use them one after the other, or raise the source.
    """
    for found in dips(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: BusDip) -> Finding:
    least = usual_minimum_v(study)
    title = study.system.title("phases", found.phase)
    bus = study.system.title("buses", found.bus)
    unknown = loads(study).total(found.phase, found.condition).unknown
    helped = (
        f"the battery gives {amps(found.batteries_a)} of it"
        if found.batteries_a > SHORT_A
        else "the battery need not help"
    )
    when = f"{title}, {found.condition}, everything on at once:"
    falls = f"{when} the sources cannot deliver it; {bus} falls to {found.voltage_v:.1f} V."

    def said(volts: str, limit: str) -> str:
        return (
            f"{when} {_given(study, found)}, {helped}; the lowest bus, {bus}, has {volts} of at "
            f"least {limit}{_warned(found)}."
        )

    return compare(
        study,
        found.phase,
        at=("phases", found.phase),
        value=found.voltage_v,
        limit=least,
        rule="at least",
        unit="V",
        digits=1,
        besides=found.solved,
        unsure=(Verdict.PASS,) if unknown else (),
        says=lambda volts, limit: (
            said(volts, limit) + (" Loads of unknown current are not counted." if unknown else "")
        ),
        fault=said if found.solved else falls,
        remedy="Use the heavy loads one after the other (exclusive: with one word), or raise the "
        "source.",
        ask="Read the missing currents off the labels, or measure them.",
    )


def _given(study: Study, found: BusDip) -> str:
    each = [
        f"{the(study, (name,))} gives {amps(given)}" + (", all that it can" if limited else "")
        for name, given, limited in found.alternators
    ]
    return listed(each) or "no alternator gives anything"


def _warned(found: BusDip) -> str:
    if found.warning_v is None or within(found.voltage_v, found.warning_v, "at least"):
        return ""
    return f", below its own warning at {found.warning_v:g} V"
