"""Options as a table, a line each of what checks answer otherwise, and a chart."""

from collections.abc import Sequence

from elec.attempt.options.dominated import SHOWN, printed
from elec.attempt.options.measures import Key, Measure, Measures
from elec.attempt.options.options import Beside, Option
from elec.drawings.charts.options import OptionChart, OptionRow, option_chart
from elec.finding import Verdict
from elec.pages.columns import amps, count, listed, share, text
from elec.pages.document import Figure
from elec.pages.table import Cell, Column, Table, Value

MOST = 4
"""So many checks are named in a line; the others are counted."""
_WORDS = {
    Verdict.FAIL: "fails",
    Verdict.ADVISE: "advised against",
    Verdict.CANNOT_TELL: "cannot be told",
}


def options_table(found: Beside) -> Table:
    """A row an option: what it weighs, loses and has left, and what checks count against it."""
    built = found.options[0].measures
    whose = found.subject or "any load or feeder"
    return Table(
        id="options",
        title=f"Options of {found.subject}" if found.subject else "Options of the whole system",
        columns=(
            text("number", "No."),
            text("option", "Option"),
            Column(key="mass_g", head="Weight", unit="g", digits=0, importance=2),
            Column(key="more_g", head="More", unit="g", digits=0),
            share("drop_fraction", "Drop"),
            amps("margin_a", "Left", digits=1),
            share("device_fraction", "Device"),
            Column(key="endurance_min", head="Battery", unit="min", digits=0),
            count("fails", "Fail"),
            count("advised", "Advice"),
            count("untold", "Untold"),
            text("by", "Dominated by"),
        ),
        rows=tuple(_row(n, one, built) for n, one in enumerate(found.options)),
        note=(
            "Weight: harness, sources and equipment, as far as a mass is known; all published "
            f"wire types count alike. Drop: the worst of {whose}, of what is allowed there. Left: "
            "the least that an alternator has left in any phase. Device: the most that one "
            "carries, of what it holds where it sits. Battery: how long it lasts alone. Fail, "
            "advice, untold (it cannot be told): all checks but those that follow whole flights. "
            "Dominated: the other one is nowhere worse as printed here, no check answers worse to "
            "it, and somewhere it is better; ? on either side leaves both. What no column shows "
            "(price, smoke of an insulation, work, what lies on the shelf) is not compared."
        ),
    )


def _row(n: int, one: Option, built: Measures | None) -> tuple[Value, ...]:
    head: tuple[Value, ...] = (str(n), one.title)
    if one.measures is None:
        return (*head, "", "", "", "", "", "", "", "", "", "cannot be built")
    m = one.measures
    return (
        *head,
        _grams(m.mass_kg.value or 0.0),
        "" if n == 0 or built is None else _more(m, built),
        _cell(m.drop_part),
        _cell(m.margin_a),
        _cell(m.device_part),
        _cell(m.endurance_min),
        m.count(Verdict.FAIL),
        m.count(Verdict.ADVISE),
        m.count(Verdict.CANNOT_TELL),
        listed([str(k) for k in one.by[:3]]) + (" …" if len(one.by) > 3 else ""),
    )


def _cell(one: Measure) -> Value:
    return one.value if one.applies else ""


def _grams(value_kg: float) -> int:
    return printed(value_kg, SHOWN["mass_kg"][0])


def _more(m: Measures, built: Measures) -> Cell:
    """Grams beside what is built; with ? where it has other parts that nobody weighed."""
    more = _grams(m.mass_kg.value or 0.0) - _grams(built.mass_kg.value or 0.0)
    if m.unweighed != built.unweighed:
        return Cell(value=None, text=f"{more:+d} + ?")
    return Cell(value=more, text=f"{more:+d}")


def option_lines(found: Beside) -> tuple[str, ...]:
    """For each option what it takes for granted, why it cannot be, what checks say otherwise."""
    built = found.options[0].measures
    lines = []
    for n, one in enumerate(found.options):
        words = [one.assumes] if one.assumes else []
        if one.why_not:
            words.append(f"cannot be built: {one.why_not}")
        elif n and one.measures is not None and built is not None:
            words += _otherwise(one.measures, built)
        if words:
            lines.append(f"{n}: {'; '.join(words)}.")
    return tuple(lines)


def _otherwise(m: Measures, built: Measures) -> list[str]:
    """Findings that it has and the system as it is has not, and the other way round."""
    words = []
    for verdict, word in _WORDS.items():
        new = [key for key, v in m.verdicts.items() if v is verdict and _other(built, key, v)]
        if new:
            words.append(f"{word}: {_named(new, m)}")
    gone = [key for key in built.verdicts if key not in m.verdicts]
    if gone:
        words.append(f"passes now: {_named(gone, built)}")
    return words


def _other(built: Measures, key: Key, verdict: Verdict) -> bool:
    return built.verdicts.get(key) is not verdict


def _named(keys: Sequence[Key], m: Measures) -> str:
    named = [f"{check} {m.marked[check, about]}" for check, about in keys]
    more = f" and {len(named) - MOST} more" if len(named) > MOST else ""
    return ", ".join(named[:MOST]) + more


def options_figure(found: Beside) -> Figure:
    """The options that can be built, as marks over the columns that apply."""
    every = [(n, one) for n, one in enumerate(found.options) if one.measures is not None]
    heads = {
        "mass_kg": ("weight, g", "best left"),
        "drop_part": ("drop, %", "best left"),
        "margin_a": ("left, A", "best right"),
        "device_part": ("device, %", "best left"),
        "endurance_min": ("alone, min", "best right"),
    }
    applies = [
        name for name in heads if any(getattr(one.measures, name).applies for _, one in every)
    ]
    rows = tuple(
        OptionRow(
            title=f"{n}  {one.title}",
            numbers=(
                *(getattr(one.measures, name).value for name in applies),
                float(one.measures.count(Verdict.FAIL)) if one.measures else None,
            ),
            texts=("?",) * (len(applies) + 1),
            dominated=bool(one.by),
            as_built=n == 0,
        )
        for n, one in enumerate(found.options)
        if one.measures is not None
    )
    chart = OptionChart(
        heads=(*(heads[name] for name in applies), ("fails", "best left")), rows=rows
    )
    return Figure(
        id="chart-options",
        title="Options beside what is built",
        drawing=option_chart(chart),
        description=(
            "Each row an option, numbered as in the table. Full: no other one dominates it; "
            "hollow: another one does. Dashed: as it is. Advice, not approval: no mark is a "
            "recommendation."
        ),
    )
