"""Do the voltages of loads, warnings and sources belong to the system?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Alternator, ExternalPower, LeadAcid, Lithium
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit
from elec.wiring.sources import open_circuit_v


@check(
    "The voltages of loads, warnings, batteries and external power belong to the system",
    sources=(Cite("elec", "sense of the input", "judgement"),),
    limits=("voltage-least", "voltage-most"),
)
def sense_voltage(study: Study) -> Iterator[Finding]:
    """A digit lost in `minimum` or `warning` silences what watches over it.

    Equipment works down to some two thirds of the nominal voltage, a starter to half of it; a
    warning lies near the nominal voltage. External power of twice the voltage, or a battery with
    twice the cells, destroys what hangs on the buses within a second (alternator-setpoint asks the
    same of a regulator).
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
    for name, source in study.document.sources.items():
        if isinstance(source, ExternalPower):
            yield _highest(study, name, "voltage", "brings in", source.voltage_v)
        elif isinstance(source, Alternator):
            if source.setpoint_by_temperature:
                most_v = max(source.setpoints())
                yield _highest(study, name, "setpoint-by-temperature", "holds up to", most_v)
        elif isinstance(source, LeadAcid | Lithium):
            full_v = open_circuit_v(study, source, 1.0)
            yield _highest(study, name, "kind", "rests when full at", full_v)


def _highest(study: Study, name: str, key: str, words: str, volts: float) -> Finding:
    most, nominal = limit(study, "voltage-most"), study.system.about.nominal_v
    text = f"{study.system.title('sources', name)}: {words} {volts:.3g} V"
    return compare(
        study,
        name,
        at=("sources", name, key),
        value=volts,
        limit=most.value * nominal,
        rule=most.bound,
        unit="V",
        says=f"{text}.",
        fault=f"{text}, more than {percent(most.value)} of {nominal:g} V: what is on is destroyed.",
        remedy=f"Take one of {nominal:g} V; correct the figure (or cells:) where it is a slip.",
        named=(most,),
    )
