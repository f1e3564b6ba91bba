"""Does the transmitter's power reach the antenna?"""

from collections.abc import Iterator

from elec.answers.connect.coax_loss import CoaxLoss, coax_losses
from elec.check import check
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.physics.coax import delivered_w
from elec.standards import Cite, TableRow, default, table
from elec.study import Study
from elec.working import Working, given, within

RULE = Cite("cfr_43", "appendix F (d)", "seen")
FOOT_M = 0.3048


@check("Enough of the transmitter's power reaches the antenna", sources=(RULE,))
def cable_power(study: Study) -> Iterator[Finding]:
    """Some services have a least power at the antenna; a long thin cable takes it away.

    Counted are the worst credible loss and the expected one. Shorten the cable, take one that
    loses less, or a stronger radio. A tester at the antenna decides.
    """
    ceiling = study.system.about.ceiling_m or default("ceiling").si
    for name, found in coax_losses(study).items():
        rows = [
            row
            for row in table("elec/coax_power")
            if row.text("key") == found.service
            and ceiling <= row.number("ceiling_ft") * FOOT_M + 0.5
        ]
        if rows:
            yield _finding(study, name, found, rows[0])


def _finding(study: Study, name: str, found: CoaxLoss, rule: TableRow) -> Finding:
    power = study.document.cables[name].power_w
    least, most = rule.number("least_w"), rule.number("most_w")
    if power is None or found.worst_db is None:
        missing = "what the radio puts into it is not said" if power is None else found.unknown
        return compare(
            study,
            name,
            at=study.document.cable_path(name),
            value=None,
            limit=least,
            unit="W",
            says="",
            unknown=f"{found.title}: whether {least:.0f} W reach the antenna cannot be told: "
            f"{missing}.",
            ask="Give power: on the cable, from the radio's label (power: 200 W)."
            if power is None
            else found.missing,
        )
    worst = delivered_w(power_w=power, loss_db=found.worst_db)
    expected = delivered_w(
        power_w=power, loss_db=found.worst_db if found.nominal_db is None else found.nominal_db
    )
    return compare(
        study,
        name,
        at=study.document.cable_path(name),
        value=worst,
        limit=least,
        rule="at least",
        unit="W",
        otherwise=Verdict.ADVISE if within(expected, least, "at least") else Verdict.FAIL,
        besides=within(expected, most),
        says=f"{found.title}: of {power:.0f} W, {expected:.0f} W reach the antenna, {worst:.0f} W "
        f"at the worst; {least:.0f} W is asked ({rule.text('meaning')}), {most:.0f} W at the most.",
        remedy="Shorten the cable, or take a type that loses less."
        if not within(worst, least, "at least")
        else "More than the rule allows at the antenna: ask the maker.",
        working=lambda: _working(found, power),
    )


def _working(found: CoaxLoss, power: float) -> Working:
    step = delivered_w.step(
        power_w=given(power, "power:"),
        loss_db=found.working.steps[-1],
        meaning="at the antenna, at the worst",
    )
    return Working(
        title=f"Power at the antenna of {found.title}", steps=(*found.working.steps, step)
    )
