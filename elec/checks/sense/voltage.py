"""Do the voltages of loads and warnings belong to the system?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit


@check(
    "The voltages of loads and warnings belong to the system",
    sources=(Cite("elec", "sense of the input", "judgement"),),
    limits=("voltage-least",),
)
def sense_voltage(study: Study) -> Iterator[Finding]:
    """A digit lost in `minimum` or `warning` silences what watches over it.

    Equipment works down to some two thirds of the nominal voltage, a starter to half of it; a
    warning lies near the nominal voltage.
    """
    found = [
        ("equipment", name, "minimum", "works down to", entry.minimum_v)
        for name, entry in study.document.equipment.items()
    ]
    found += [
        ("buses", name, "warning", "its warning comes on at", bus.warning_v)
        for name, bus in study.document.buses.items()
    ]
    least, nominal = limit(study, "voltage-least"), study.system.about.nominal_v
    for section, name, key, words, volts in found:
        if volts is None:
            continue
        text = f"{study.system.title(section, name)}: {words} {volts:g} V"
        yield compare(
            study,
            name,
            at=(section, name, key),
            value=volts,
            limit=least.value * nominal,
            rule=least.bound,
            unit="V",
            otherwise=Verdict.ADVISE,
            says=f"{text}.",
            fault=f"{text}, less than {percent(least.value)} of {nominal:g} V. Is a digit lost?",
            remedy="Look it up in its maker's data; accept it where it stands so.",
            named=(least,),
        )
