"""Does the regulator hold a voltage that charges the battery and fits the system?"""

from collections.abc import Iterator

from msgspec.structs import replace

from elec.answers.time.endurance import batteries
from elec.check import check
from elec.checks.answer import answer
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Alternator, Battery
from elec.model.system import System
from elec.standards import Cite, default
from elec.study import Study
from elec.wiring.demand import cells_factor
from elec.wiring.sources import Window, alternators, charge_window, open_circuit_v
from elec.working import within


def _meant(study: Study) -> System:
    """Every alternator whose set-point cannot be meant at the usual one."""
    document = study.designed.document
    sources = {
        name: source.model_copy(
            update={"setpoint_v": _usual(study), "setpoint_by_temperature": None}
        )
        if isinstance(source, Alternator) and _finding(study, name, source).verdict is Verdict.FAIL
        else source
        for name, source in document.sources.items()
    }
    meant = document.model_copy(update={"sources": sources})
    return replace(study.designed, document=meant)


@check(
    "The set-point charges the battery and fits the system",
    sources=(
        Cite("trade", "regulator", "memory"),
        Cite("trade", "LiFePO4 charging", "memory"),
    ),
    meant=_meant,
)
def alternator_setpoint(study: Study) -> Iterator[Finding]:
    """A wrong digit in a set-point spoils every number that follows.

    Below the voltage at which the full battery rests an alternator gives nothing. Below the
    battery's charge window it never fills it, above it the battery gases or its management system
    opens. One that stands by for another may stand lower, as long as it stands above the rest.
    The battery's maker says what it wants; the windows used here are usual ones.
    """
    for name, source in alternators(study).items():
        yield _finding(study, name, source)


def _finding(study: Study, name: str, source: Alternator) -> Finding:
    at, volts = ("sources", name, "setpoint"), source.setpoint_v
    nominal = study.system.about.nominal_v
    if cells_factor(volts) != cells_factor(nominal):
        other = "28 V" if cells_factor(volts) > 1 else "14 V"
        text = f"It holds {volts:g} V in a system of {nominal:g} V."
        remedy = (
            f"Was nominal: {other} meant? Else write setpoint: {_usual(study):g} V, or what its "
            "regulator is set to."
        )
        return answer(study, name, Verdict.FAIL, text, at=at, remedy=remedy, value=volts, unit="V")
    if not batteries(study):
        text = f"It holds {volts:g} V; without a battery nothing says whether that is right."
        return answer(
            study, name, Verdict.CANNOT_TELL, text, at=at, remedy="Give the battery as a source.",
            value=volts, unit="V",
        )  # fmt: skip
    for battery, entry in batteries(study).items():
        found = _unfit(study, name, source, battery, entry)
        if found is not None:
            return found
    names = ", ".join(study.system.title("sources", battery) for battery in batteries(study))
    windows = [charge_window(study, entry) for entry in batteries(study).values()]
    fills = all(within(volts, window.least_v, "at least") for window in windows)
    text = f"It holds {volts:g} V, which {'charges' if fills else 'never fills'} {names}"
    text += "." if fills else "; another alternator does."
    return answer(study, name, Verdict.PASS, text, at=at, value=volts, unit="V")


def _unfit(
    study: Study, name: str, source: Alternator, battery: str, entry: Battery
) -> Finding | None:
    title, volts = study.system.title("sources", battery), source.setpoint_v
    rest = open_circuit_v(study, entry, 1.0)
    window = charge_window(study, entry)
    span = f"{window.least_v:.1f} to {window.most_v:.1f} V charge it ({window.origin})"
    meant = f"Was {_usual(study):g} V meant? Set the regulator to what the battery's maker asks."
    at = ("sources", name, "setpoint")
    if within(min(source.setpoints()), rest):  # equal is too little, too: no current flows
        text = (
            f"It holds {min(source.setpoints()):g} V; {title} rests at {rest:.1f} V when full, so "
            f"that the battery carries the loads until it is part empty. {span}."
        )
        return answer(
            study, name, Verdict.FAIL, text, at=at, remedy=meant, value=volts, limit=rest, unit="V"
        )
    found = compare(
        study, name, at=at, value=volts, limit=window.most_v, unit="V", remedy=meant,
        says=f"It holds {volts:g} V, more than {title} bears; {span}.",
    )  # fmt: skip
    if found.verdict is Verdict.PASS and not _charged_by_another(study, name, window):
        found = compare(
            study, name, at=at, value=volts, limit=window.least_v, rule="at least", unit="V",
            says=f"It holds {volts:g} V, so that {title} is never full; {span}.",
            remedy=meant, otherwise=Verdict.ADVISE,
        )  # fmt: skip
    return None if found.verdict is Verdict.PASS else found


def _charged_by_another(study: Study, name: str, window: Window) -> bool:
    return any(
        within(other.setpoint_v, window.least_v, "at least")
        and within(other.setpoint_v, window.most_v)
        for key, other in alternators(study).items()
        if key != name
    )


def _usual(study: Study) -> float:
    return default("alternator-setpoint-14").value * cells_factor(study.system.about.nominal_v)
