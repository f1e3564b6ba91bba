"""Is the current of every load known?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.model.load import Equipment
from elec.standards import Cite, table
from elec.standards.cite import REMARKS
from elec.study import Study
from elec.units import show
from elec.wiring.chains import chains
from elec.wiring.demand import cells_factor, draws, modes_of


@check(
    "The current of every load is known",
    sources=(Cite("retrofit", "load analysis by measurement", "seen"),),
)
def load_known(study: Study) -> Iterator[Finding]:
    """A total that leaves one load out is no total; a load of nothing hides one that is forgotten.

    Read it off the label, take it from the maker's sheet, or measure it with an ammeter good to
    half an ampere. What draws nothing (a sensor, an antenna, a jack) is `passive: yes`.
    """
    fed = chains(study).feeds
    for name, entry in study.document.equipment.items():
        if name in fed and not entry.passive:
            yield _finding(study, name, entry)


def _finding(study: Study, name: str, entry: Equipment) -> Finding:
    modes = modes_of(entry)
    title = study.system.title("equipment", name)
    at = ("equipment", name)
    if not draws(entry) and entry.draw is None:
        modes = (("", None, "never"),)
    missing = [mode for mode, draw, _ in modes if draw is None]
    if missing:
        which = f" in the mode {listed(missing)}" if any(missing) else ""
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"No current is given{which}, so no total that contains {title} is certain.",
            at=at,
            remedy="Read it off the label, or measure it, and give it as draw; passive: yes if it "
            f"draws nothing.{_typical(study, title)}",
        )
    nothing = [mode for mode, draw, _ in modes if draw is not None and draw.value == 0]
    if len(nothing) == len(modes):
        return answer(
            study,
            name,
            Verdict.FAIL,
            f"{title} is said to draw nothing.",
            at=at,
            remedy="Give its current; if it truly draws nothing, leave draw out and write "
            "passive: yes.",
            value=0.0,
            unit="A",
        )
    said = listed(f"{mode} {draw.said}".strip() for mode, draw, _ in modes if draw is not None)
    basis = f" ({entry.basis})" if entry.basis else ""
    return answer(study, name, Verdict.PASS, f"{title}: {said}{basis}.", at=at)


def _typical(study: Study, title: str) -> str:
    """What equipment of that name usually draws, where the table has one."""
    high = cells_factor(study.system.about.nominal_v) > 1
    asked = set(title.casefold().replace("-", " ").split())
    best: tuple[int, str] = (1, "")
    for row in table("elec/equipment"):
        words = set(row.text("equipment").casefold().replace(",", " ").split())
        column = "typical_28v_a" if high else "typical_14v_a"
        if len(words & asked) > best[0] and row.has(column):
            mark = REMARKS[
                row.text("current_28v_certainty" if high else f"{column[:-2]}_certainty")
            ]
            how = f", {mark}" if mark else ""
            draws = show(row.number(column), "a")
            best = len(words & asked), f" Typical: {row.text('equipment')} {draws}{how}."
    return best[1]
