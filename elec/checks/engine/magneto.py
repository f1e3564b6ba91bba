"""Can every magneto be grounded?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.magnetos import MagnetoLead, magneto_leads
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_text


@check(
    "Every magneto has a shielded lead to a switch that grounds it",
    sources=(Cite("trade", "magneto leads", "memory"),),
    given="role magneto on equipment",
)
def engine_magneto(study: Study) -> Iterator[Finding]:
    """A magneto sparks unless its lead is grounded: without a lead nothing stops the engine.

    An open lead leaves it live, so that a propeller moved by hand may fire. Lead it in shielded
    wire, the shield grounded at the magneto, to an ignition switch of its own pole; plain wire is
    heard in the radios.
    """
    for name, leads in magneto_leads(study).items():
        yield _finding(study, name, leads)


def _finding(study: Study, name: str, leads: tuple[MagnetoLead, ...]) -> Finding:
    title, at = study.system.title("equipment", name), ("equipment", name, "role")
    if not leads:
        return answer(
            study, name, Verdict.FAIL, f"Nothing is wired to {title}: it cannot be stopped.", at=at,
            remedy="Lead a shielded wire from it to the ignition switch (multicores: or wires:).",
        )  # fmt: skip
    ends = listed(
        f"{marks(study)[one.conductor.id]} to {end_text(study, one.far)}" for one in leads
    )
    live = f"{title}: {ends}. It is live whenever that is open."
    loose = [one for one in leads if _loose(study, one)]
    if loose:
        return answer(
            study, name, Verdict.CANNOT_TELL,
            f"{live} Where it goes from {end_text(study, loose[0].far)} is not said.", at=at,
            remedy="Write the wire that leads on to the ignition switch.",
        )  # fmt: skip
    if not all(one.shielded for one in leads):
        return answer(
            study, name, Verdict.ADVISE, f"{live} Plain wire: its sparks are heard in the radios.",
            at=at, remedy="Take shielded wire, grounded at the magneto: multicores: {type: 1-core "
            "AWG 18 shielded, shield: from, cores: ...}.",
        )  # fmt: skip
    return answer(study, name, Verdict.PASS, live, at=at)


def _loose(study: Study, lead: MagnetoLead) -> bool:
    """Whether a lead ends on a plug from which nothing leads on, or nowhere."""
    if lead.far.kind == "place":
        return True
    if lead.far.kind != "connector":
        return False
    landed = (
        wire.id
        for wire in chains(study).conductors()
        if lead.far.id in (wire.a.id, wire.b.id) and wire.id != lead.conductor.id
    )
    return next(landed, None) is None
