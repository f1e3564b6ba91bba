"""What takes both of a pair at once: the failures of the sweep, and the ground point they share.

In: pairs, effects. Out: `Common` by pair.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failures import decisive
from elec.study import Study, analysis
from elec.wiring.backup import Pair, pairs
from elec.wiring.chains import STRUCTURE, chains, main_ground
from elec.wiring.runs import runs


class Common(Struct, frozen=True, kw_only=True):
    """What two things have in common."""

    pair: Pair
    failures: tuple[Failure, ...]
    """Single failures that cut both off; the main ground, which takes everything, left out."""
    grounds: tuple[str, ...]
    """Ground points that both return to."""
    unfed: tuple[str, ...]
    """Of the two, what no circuit feeds, and what is not passive."""
    unknown_runs: tuple[str, ...]
    """Conductors of either whose way is not known."""
    essential: bool
    """Whether both are essential (or the one that has two feeds)."""


@analysis
def common(study: Study) -> Mapping[str, Common]:
    """Every pair by what findings call it."""
    return {pair.about: _common(study, pair) for pair in pairs(study)}


def _common(study: Study, pair: Pair) -> Common:
    main, fed = main_ground(study), chains(study).feeds
    equipment = study.document.equipment
    both = set(pair.equipment)
    circuits = (*pair.circuits[0], *pair.circuits[1])
    conductors = [c for name in circuits for c in chains(study).by_name[name].conductors()]
    return Common(
        pair=pair,
        failures=tuple(
            effect.failure
            for effect in decisive(study)
            if both <= effect.dead and effect.failure.id != f"ground:{main}"
        ),
        grounds=_grounds(study, pair),
        unfed=tuple(n for n in pair.equipment if n not in fed and not equipment[n].passive),
        unknown_runs=tuple(
            c.id
            for c in conductors
            if not runs(study)[c.id].legs and len(runs(study)[c.id].places) > 1
        ),
        essential=all(
            equipment[name].essential or equipment[name].role == "engine" for name in pair.equipment
        ),
    )


def _grounds(study: Study, pair: Pair) -> tuple[str, ...]:
    """Ground points at which returns of both end."""
    ends: list[dict[str, None]] = []
    for circuits in pair.circuits:
        found = {
            row.parts[-1].name: None
            for name in circuits
            for row in chains(study).by_name[name].rows
            if row.role == "return"
            and row.equipment in pair.equipment
            and row.parts[-1].kind == "ground"
        }
        ends.append(found)
    return tuple(name for name in ends[0] if name in ends[1] and name != STRUCTURE)
