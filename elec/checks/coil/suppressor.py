"""Does something take up the surge of every coil?"""

from collections.abc import Iterator

from elec.answers.connect.coils import CoilPath, coil_paths
from elec.answers.time.release import Before, coil_a, fed_v, releases
from elec.check import check
from elec.checks.answer import amps, answer, sentence
from elec.finding import Finding, Verdict
from elec.model.switch import Surge
from elec.standards import Cite
from elec.study import Study
from elec.units import show
from elec.working import within


@check(
    "A diode or the like takes up the surge of every coil",
    sources=(Cite("trade", "diodes across coils of contactors and relays", "memory"),),
)
def coil_suppressor(study: Study) -> Iterator[Finding]:
    """Switched off, a bare coil drives some hundred volts into its switch and its neighbours.

    Fit a diode across the coil, its band to the side that is fed, or take a contactor that has one
    inside, and say so: `suppressor: diode` or `suppressor: inside`. With a plain diode the contact
    opens later, as a rule by some tens of milliseconds (common practice, from memory): no matter
    for a master; where a contact has to open fast, a suppressor of higher voltage does
    (`suppressor: 27 V`), and its switch bears that voltage more. With `inductance` and `drops-out`
    of the coil the times stand here; without them they are not known. A coil behind the contact of
    another relay lets go after that one has: the times are added. A suppressor below what the coil
    is fed with conducts as long as it is on, and burns; a resistor across it draws all that time,
    which is in no sum of loads: it should draw no more than the coil.
    """
    for found in coil_paths(study).values():
        if found.coil is not None and found.coil.load is not None:
            yield _finding(study, found, found.coil.suppressor)


def _finding(study: Study, found: CoilPath, said: str | Surge | None) -> Finding:
    verdict, text = Verdict.CANNOT_TELL, "what takes up the surge of its coil is not said."
    if said == "diode":
        verdict = Verdict.PASS
        text = "a diode across its coil, band to the side that is fed; it opens a little later."
    elif isinstance(said, Surge):
        verdict, text = _surge(study, found, said)
    elif said == "inside":
        verdict, text = Verdict.PASS, "its maker has fitted one inside."
    elif said == "none":
        verdict = Verdict.ADVISE
        text = (
            f"nothing takes up the surge of its coil; {_opener(found)} burns, and the surge "
            "reaches what hangs beside it."
        )
    return answer(
        study,
        found.switch,
        verdict,
        f"{found.title}: {text}{_times(study, found)}",
        at=("switches", found.switch, "coil"),
        remedy="Fit a diode across the coil, band to the side that is fed, and write "
        "suppressor: diode; or suppressor: inside where its maker has fitted one.",
    )


def _surge(study: Study, found: CoilPath, said: Surge) -> tuple[Verdict, str]:
    """A part that has to bear the voltage that the coil is fed with, too."""
    volts = fed_v(study)
    if said.kind == "voltage":
        text = f"a suppressor of {said.said} across its coil."
        if within(said.value, volts):
            return Verdict.FAIL, (
                f"a suppressor of {said.said} across its coil conducts as long as it is on, for "
                f"that is fed with up to {show(volts, 'v')}: it burns, or its fuse opens."
            )
        return Verdict.PASS, text
    draws_a, own_a = volts / said.value, coil_a(study, found)
    text = f"a resistor of {said.said} across its coil"
    if own_a is None:
        return Verdict.CANNOT_TELL, f"{text}; what the coil draws is not known."
    if not within(draws_a, own_a):
        return Verdict.FAIL, (
            f"{text} draws {amps(draws_a)} as long as it is on, more than the coil's "
            f"{amps(own_a)}; that is in no sum of loads."
        )
    return Verdict.PASS, f"{text}."


def _opener(found: CoilPath) -> str:
    """What takes it off: the last of all that can."""
    return next((part.label for part in reversed(found.openers)), "its switch")


def _times(study: Study, found: CoilPath) -> str:
    """How soon its contact begins to open, with what is fitted and with what else may be."""
    release, opener = releases(study)[found.switch], _opener(found)
    told = [
        f"for {one.soon} with {one.part} ({opener} bears {show(one.surge_v, 'v')})"
        for one in release.every
    ]
    row = "".join(_in_a_row(one) for one in release.before)
    if not told:
        return row
    stays = "the starter stays engaged" if release.starts else "its contact stays closed"
    return (
        f" After {opener} opens, {stays} {', '.join(told)}; the contact's travel comes on top.{row}"
    )


def _in_a_row(one: Before) -> str:
    """What lets go before it."""
    title, several = sentence(one.title)[:-1], len(one.times) > 2
    if not one.times:
        return (
            f" Before it {one.title} has to let go; how long from {one.hand} on cannot be told: "
            f"{one.unknown}."
        )
    verb = "let" if several else "lets"
    return f" {title} {verb} go before it: {one.soon} in all from {one.hand} on."
