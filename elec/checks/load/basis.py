"""How sure are the currents?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.finding import Finding, Verdict
from elec.model.load import Equipment
from elec.standards import Cite
from elec.study import Study
from elec.wiring.demand import demand, modes_of

FIRM = ("measured", "data sheet")


@check(
    "The currents of all loads are measured or from their makers",
    sources=(Cite("retrofit", "load analysis by measurement", "seen"),),
)
def load_basis(study: Study) -> Iterator[Finding]:
    """Every margin is as good as the currents it is summed from; typical values serve for planning.

    Before the first flight measure each load, with the switches one after the other, and write
    `basis: measured`. If even one current is said to be nothing at all, load-known fails it.
    """
    loads = [name for name in demand(study).loads if demand(study).loads[name].known]
    soft = [n for n in loads if _basis(study.document.equipment[n]) in ("typical", "estimate")]
    silent = [n for n in loads if _basis(study.document.equipment[n]) is None]
    if soft:
        yield answer(
            study,
            "currents",
            Verdict.ADVISE,
            f"{count(len(soft), 'current')} of {len(loads)} {'is' if len(soft) == 1 else 'are'} "
            f"typical or estimated: "
            f"{_names(study, soft)}.",
            at=("equipment", soft[0]),
            remedy="Good for planning. Measure them once fitted, and write basis: measured.",
            value=float(len(soft)),
        )
    if silent:
        yield answer(
            study,
            "unstated currents",
            Verdict.CANNOT_TELL,
            f"Where {count(len(silent), 'current')} of {len(loads)} "
            f"{'comes' if len(silent) == 1 else 'come'} from is not said: "
            f"{_names(study, silent)}.",
            at=("equipment", silent[0]),
            remedy="Write basis: measured, data sheet, typical or estimate.",
            value=float(len(silent)),
        )
    if loads and not soft and not silent:
        yield answer(
            study,
            "currents",
            Verdict.PASS,
            f"All {len(loads)} currents are measured or from their makers.",
            at=("equipment",),
        )


def _names(study: Study, names: list[str]) -> str:
    return listed(study.system.title("equipment", name) for name in names)


def _basis(entry: Equipment) -> str | None:
    """The weakest basis among its modes."""
    found = [
        entry.modes[mode].basis or entry.basis if mode in entry.modes else entry.basis
        for mode, _, _ in modes_of(entry)
    ]
    if any(b is None for b in found):
        return None
    return next((b for b in found if b not in FIRM), found[0])
