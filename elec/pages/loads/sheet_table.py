"""The tables of the load sheet: every load, and each alternator against what is asked of it."""

import math
from collections.abc import Iterator, Sequence
from itertools import product
from string import ascii_lowercase

from elec.answers.build.load_sheet import LoadSheet, SheetRow, load_sheet
from elec.answers.failures.left_alone import left_alone
from elec.answers.loads.margins import (
    Margin,
    keeps_rule,
    margins_by_condition,
    names_of,
    rule_of,
)
from elec.answers.time.alone import LONGEST_S
from elec.answers.time.endurance import Endurance, endurance
from elec.check import verdict_of
from elec.pages.columns import amps, count, listed, phase_title, share, summed, text
from elec.pages.table import Cell, Column, Table, Value
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.units import whole_minutes
from elec.wiring.basis import draw_spread
from elec.wiring.limits import limit

LETTERS = {"measured": "M", "data sheet": "D", "typical": "T", "estimate": "E", "unstated": "?"}
DEVICES = {"breaker": "B", "fuse": "F", "limiter": "L", "link": "K"}
STAGES = {
    "until shed": "{phase} until shedding",
    "shed": "{phase} after it",
    "landing": "{phase} after it",
    "flight": "{phase}",
    "second battery": "{phase} on the second battery",
}


def basis_of(study: Study, name: str, mode: str) -> str:
    """Where a current comes from; `unstated` where nobody says."""
    basis = draw_spread(study, name, mode).basis
    return basis if basis in LETTERS else "unstated"


# -- every load -----------------------------------------------------------------------------------


def row_table(study: Study) -> Table:
    """Each load: device, number, basis, A, time, A·min; well fed, and on the battery alone."""
    found = load_sheet(study)
    letters = _letters()
    normal = [next(letters) for _ in found.groups]
    battery = [next(letters) for _ in found.stages]
    gains = next(letters)
    columns = (
        text("load", "Load"),
        text("device", "Dev."),
        count("number_count", "No."),
        text("basis", "By", 3),
        amps("on_a", "On"),
        Column(key="on_min", head="On", unit="min", digits=1),
        Column(key="ampere_minutes", head="A·min", digits=1),
        *(amps(f"{_key(group.total.phase)}_a", letter)
          for letter, group in zip(normal, found.groups, strict=True)),
        *(amps(f"battery_{_key(stage.words)}_a", letter)
          for letter, stage in zip(battery, found.stages, strict=True)),
        *([Column(key="gained_min", head=gains, unit="min", digits=1)] if found.stages else []),
    )  # fmt: skip
    return Table(
        id="load-sheet-rows",
        title=f"Every load by {found.condition}",
        columns=columns,
        rows=(*(_row(study, found, row) for row in found.rows), _sums(found))
        if found.phases
        else (),
        note=_legend(study, found, normal, battery, gains)
        if found.phases
        else "? No phases of flight but the start are given: write down what is on when.",
    )


def _letters() -> Iterator[str]:
    """Letters in order: a to z, then aa, ab and so on."""
    yield from ascii_lowercase
    for first, second in product(ascii_lowercase, repeat=2):
        yield first + second


def _key(words: str) -> str:
    return words.replace("-", "_").replace(" ", "_")


def _row(study: Study, found: LoadSheet, row: SheetRow) -> tuple[Value, ...]:
    device = sizing(study).devices.get(row.circuit)
    label = "" if device is None else device.label
    short = "" if device is None else f"{DEVICES[device.kind]} {label.partition(' ')[0]}"
    basis = "" if row.coil else basis_of(study, row.equipment[0], row.mode)
    return (
        _title(study, found, row),
        Cell(value=label, text=short or "–"),
        len(row.equipment),
        Cell(value=basis, text=LETTERS.get(basis, "–")),
        row.amps_a,
        row.minutes,
        row.ampere_minutes,
        *(_brief(value) for value in row.normal_a),
        *_battery(study, found, row),
    )


def _brief(value: float | None, digits: int = 2) -> Value:
    """A number; nothing printed where it is off, and no long tail of digits where it is little."""
    least = 10**-digits
    if value is None or value >= least / 2:
        return value
    return Cell(value=value, text=f"<{least:g}".replace("0.", ".") if value > 0 else "")


def _gain(minutes: float | None) -> Value:
    """Minutes; beyond a day no number."""
    if minutes is not None and math.isinf(minutes):
        return Cell(value=minutes, text=f">{whole_minutes(LONGEST_S / 60)}")
    return _brief(minutes, 1)


def _title(study: Study, found: LoadSheet, row: SheetRow) -> str:
    if row.coil:
        name = f"{study.system.title('switches', row.equipment[0])} coil"
    elif row.equipment[1:]:
        name = study.system.title("circuits", row.circuit)
    else:
        name = study.system.title("equipment", row.equipment[0])
    parts = [name, row.mode.replace("-", " ")]
    if row.condition != found.condition:
        parts.append(f"by {row.condition} alone, in no sum")
    return ", ".join(part for part in parts if part)


def _battery(study: Study, found: LoadSheet, row: SheetRow) -> Iterator[Value]:
    for stage, value in zip(found.stages, row.battery_a, strict=True):
        if stage.words == "shed" and row.after == "shed":
            yield Cell(value=value, text=_shed(study, row))
        else:
            yield _brief(None if row.amps_a is None else value)
    if found.stages:
        yield "" if row.after == "off" else _gain(row.gains_min)


def _shed(study: Study, row: SheetRow) -> str:
    """`shed`; with the minute where it goes later than the others."""
    entry = None if row.coil else study.document.equipment[row.equipment[0]].shed
    found = endurance(study)
    later = isinstance(entry, float) and found is not None and entry > found.seen_s
    return f"shed {whole_minutes(float(entry or 0) / 60)}" if later else "shed"


def _sums(found: LoadSheet) -> tuple[Value, ...]:
    unknown = len(found.unknown)
    return (
        "all loads", "", "", "", "",
        found.minutes,
        summed(found.ampere_minutes, unknown),
        *(summed(group.total.continuous_a, len(group.total.unknown)) for group in found.groups),
        *(summed(found.summed_a(k), unknown) for k in range(len(found.stages))),
        *([""] if found.stages else []),
    )  # fmt: skip


def _legend(
    study: Study, found: LoadSheet, normal: Sequence[str], battery: Sequence[str], gains: str
) -> str:
    groups = [
        f"{letter} {listed([phase_title(study, phase) for phase in group.phases])}"
        + (f" (as {phase_title(study, group.total.phase)})" if group.phases[1:] else "")
        for letter, group in zip(normal, found.groups, strict=True)
    ]
    stages = [
        f"{letter} {STAGES[stage.words].format(phase=phase_title(study, stage.phase))}"
        for letter, stage in zip(battery, found.stages, strict=True)
    ]
    parts = [
        "Dev.: A of breaker B, fuse F, limiter L. By: measured, data sheet, typical, estimate.",
        f"On: each, at {found.voltage_v:.1f} V, in {found.minutes:g} min {_spoken(study, found)}.",
        f"Average, all of them: {', '.join(groups)}." if groups else "",
        f"Battery alone: {', '.join(stages)}." if stages else "",
        _gained(study, gains) if stages else "",
    ]
    return " ".join(part for part in parts if part)


def _gained(study: Study, letter: str) -> str:
    found = endurance(study)
    if found is None or found.minutes is None or found.unknown:
        return f"{letter}: not known, for the time on the battery is not."
    lasts = whole_minutes(found.minutes)
    return (
        f"{letter}: what shedding it adds, or would, to the {lasts} min of {_lost(study, found)}."
    )


def _lost(study: Study, found: Endurance) -> str:
    cruise = phase_title(study, found.cruise)
    return f"a loss in {cruise}" if found.alternator else cruise


def _spoken(study: Study, found: LoadSheet) -> str:
    first, last = (phase_title(study, phase) for phase in (found.phases[0], found.phases[-1]))
    return f"from {first} to {last}" if found.phases[1:] else f"of {first}"


# -- each alternator ------------------------------------------------------------------------------


def source_table(study: Study) -> Table:
    """Each alternator by itself: connected load against the rating, average against the output."""
    return Table(
        id="load-sheet-sources",
        title=f"Each alternator by itself ({limit(study, 'generator-share').source})",
        columns=(
            text("source", "Source"),
            text("load", "Load"),
            text("where", "Worst in"),
            amps("asked_a", "Asked", digits=1),
            amps("of_a", "Of", digits=1),
            amps("left_a", "Left", digits=1),
            share("used_fraction", "Used"),
            share("limit_fraction", "Limit"),
            text("verdict", "Verdict"),
        ),
        rows=(*_well(study), *_alone(study)),
    )


def _well(study: Study) -> Iterator[tuple[Value, ...]]:
    every = list(margins_by_condition(study).values())
    for sources in dict.fromkeys(m.sources for m in every):
        its = [m for m in every if m.sources == sources]
        most = max(its, key=lambda m: (not keeps_rule(study, m), m.share.asked_a, len(m.unknown)))
        rule = rule_of(study, most)
        sure = most.share.solved and not most.unknown
        verdict = verdict_of(study, most.about, "alternator-margin")
        yield (
            names_of(study, sources),
            "connected over 5 min, of rating",
            _where(study, most),
            summed(most.share.asked_a, len(most.unknown)) if most.share.solved else None,
            most.rated_a,
            "",
            _used(most.used_part, sure=sure),
            rule.value,
            Cell(value=str(verdict or ""), verdict=verdict),
        )
        least = min(its, key=lambda m: (m.spare_a is not None, m.spare_a or 0.0))
        yield _average(study, least, "average, of output there", least.about,
                       "alternator-idle")  # fmt: skip


def _used(part: float | None, *, sure: bool) -> Value:
    if sure or part is None:
        return part
    return Cell(value=None, text=f"{100 * part:.0f} + ?")


def _alone(study: Study) -> Iterator[tuple[Value, ...]]:
    judged = left_alone(study)
    for name in dict.fromkeys(name for name, _ in judged):
        its = [one.margin for (source, _), one in judged.items() if source == name]
        least = min(its, key=lambda m: (m.spare_a is not None, m.spare_a or 0.0))
        helped = judged[name, least.phase].helped_min
        words = "average alone, loads shed"
        if least.short:
            words += f"; the battery helps {whole_minutes(helped)} min"
        yield _average(study, least, words, name, "alternator-alone")


def _average(study: Study, margin: Margin, words: str, about: str, check: str) -> tuple[Value, ...]:
    sure = margin.share.solved and not margin.unknown
    verdict = verdict_of(study, about, check)
    return (
        names_of(study, margin.sources),
        words,
        _where(study, margin),
        summed(margin.share.carried_a, len(margin.unknown)),
        margin.can_a,
        margin.spare_a if sure else None,
        "",
        "",
        Cell(value=str(verdict or ""), verdict=verdict),
    )


def _where(study: Study, margin: Margin) -> str:
    return f"{phase_title(study, margin.phase)}, {margin.condition}"


__all__ = ["basis_of", "row_table", "source_table"]
