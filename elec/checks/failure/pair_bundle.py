"""Do a load and its backup lie in one bundle?"""

from collections.abc import Iterator

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_pairs import Common, common
from elec.answers.failures.failure_reach import (
    apart,
    on_essential_buses,
    parted,
    unfed,
    whole_buses,
)
from elec.answers.failures.failures import decisive
from elec.answers.failures.feed_ways import feed_ends
from elec.answers.failures.shared_places import shared_places
from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Consequence, Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.backup import Pair, engine_loads
from elec.wiring.chains import chains
from elec.wiring.laid import laid


@check(
    "A load and its backup do not lie in one bundle or hole, nor all of an essential bus",
    sources=(
        Cite("cfr_23_64", "23.2525(b)", "seen"),
        Cite("trade", "redundant wires in separate bundles", "memory"),
    ),
    given="backup on equipment",
)
def failure_pair_bundle(study: Study) -> Iterator[Finding]:
    """One chafed, burnt or cut bundle must not take both, nor the whole of an essential bus.

    Looked at is every way, with the feeders and grounds that lie on it too. Bundles that pass one
    hole count as one. Named besides, without being judged, are places (and zones) that all feeds of
    both pass, in whichever bundle: a fire or water there takes both. Lead one of the two another
    way (`via:`), or lay it in a second bundle through a hole of its own, and say on the way what
    lies in which:
    `bundled: {left: [radio, main feed], right: rest}`,
    `holes: [{diameter: 20 mm, bundle: left}, {diameter: 20 mm, bundle: right}]`.
    """
    for found in common(study).values():
        if not found.unfed:
            yield _finding(study, found)
    for bus in on_essential_buses(study):
        yield from _bus(study, bus)


def _finding(study: Study, found: Common) -> Finding:
    pair = found.pair
    ways = [failure for failure in found.failures if failure.kind == "way"]
    joined = _worded(study, [f for f in ways if not parted(study, f)])
    doubt = _doubt(study, found, [failure for failure in ways if parted(study, failure)])
    engine = any(name in engine_loads(study) for name in pair.equipment)
    if doubt and not joined:
        return answer(
            study,
            pair.about,
            Verdict.CANNOT_TELL,
            f"{pair.title}: {doubt}.",
            at=pair.path,
            remedy="Give the missing ways; where a way has several bundles, write on it what lies "
            "in which: bundled: {left: [radio, main feed], right: rest}.",
        )
    cut = (
        f"{'The engine stops. ' if engine else ''}{pair.title}: one cut takes both: "
        f"{listed(joined)}."
        if joined
        else f"{pair.title}: no one bundle takes both."
    )
    return answer(
        study,
        pair.about,
        passes(not joined, Verdict.FAIL if found.essential else Verdict.ADVISE),
        f"{cut} {_places(study, pair)}",
        at=pair.path,
        remedy="Lead the wires or the feeder of one of them another way (via:), or in another "
        "bundle and hole (bundled: and holes: on the way).",
        consequence=Consequence.ENGINE if engine else Consequence.OTHER,
    )


def _places(study: Study, pair: Pair) -> str:
    """Where all that feeds either comes together, in a sentence."""
    found = shared_places(study, feed_ends(study, pair))
    if found is None:
        return "Which places all that feeds either passes cannot be told: a way is not known."
    if not found:
        return "No place is passed by all that feeds either."
    return f"All that feeds either passes {listed(found)}."


def _worded(study: Study, failures: list[Failure]) -> list[str]:
    """What is cut, in words; of a way with several bundles it is their common hole."""
    return [f"the one hole of {f.about}" if apart(study, f) else f.about for f in failures]


def _bus(study: Study, bus: str) -> Iterator[Finding]:
    """Does one bundle or hole hold every way into an essential bus, or all its returns?"""
    if not on_essential_buses(study)[bus]:
        return
    cuts = [
        e.failure
        for e in decisive(study)
        if e.failure.kind == "way" and e.taken and bus in whole_buses(study, e.dead)
    ]
    joined = [f for f in cuts if not parted(study, f)]
    fed = [f for f in joined if bus not in unfed(study, f)]
    unsaid = [f.about for f in cuts if parted(study, f) and _unsaid(study, f)]
    title = study.system.title("buses", bus)
    verdict, text = Verdict.PASS, f"No one bundle or hole takes all essential loads of {title}."
    if len(fed) < len(joined):
        verdict = Verdict.FAIL
        cut = listed(_worded(study, [f for f in joined if f not in fed]))
        text = f"One cut takes every feeder of {title}, and all its essential loads: {cut}."
    elif joined:
        verdict = Verdict.ADVISE
        cut = listed(_worded(study, joined))
        text = f"One cut takes the returns of all essential loads of {title}: {cut}."
    elif unsaid:
        verdict = Verdict.CANNOT_TELL
        text = (
            f"Whether one cut takes all of {title} cannot be told: which bundle of "
            f"{listed(unsaid)} holds what is not said."
        )
    yield answer(
        study,
        f"bus {bus}",
        verdict,
        text,
        at=("buses", bus),
        remedy="Lead one of its feeders, and a ground of some of its loads, another way (via:), or "
        "in another bundle and hole (bundled: and holes: on the way).",
        consequence=Consequence.BUS,
    )


def _unsaid(study: Study, failure: Failure) -> bool:
    named = laid(study).get(int(failure.path[1]))
    return named is None or bool(named.unsaid)


def _doubt(study: Study, found: Common, ways: list[Failure]) -> str:
    if found.unknown_runs:
        return f"the way of {len(found.unknown_runs)} of their wires is not known"
    own = {name for circuits in found.pair.circuits for name in circuits}
    for failure in ways:
        named = laid(study).get(int(failure.path[1]))
        if named is None:
            return f"both lie on {failure.about}, and which bundle each is in is not said"
        by_name = chains(study).by_name
        unsaid = [n for n in named.unsaid if n in own or by_name[n].kind in ("feeder", "ground")]
        if unsaid:
            names = listed(name.replace("-", " ") for name in unsaid)
            return f"both lie on {failure.about}, and which bundle holds {names} is not said"
    return ""
