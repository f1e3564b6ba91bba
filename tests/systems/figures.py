"""What elec chooses for its systems: `figures/`, made by `python -m tests.systems.figures`.

As they are written, and from nothing: without a rating or a gauge that is given.

Whoever changes one sees in the difference what was chosen otherwise; it is then a number for
*Numbers changed* in docs/changes.md. Four digits: what differs in the fifth is another computer.
"""

import csv
import io
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from elec.answers.base.nothing_given import from_nothing
from elec.sizing.candidates import candidates
from elec.sizing.choices import choices
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, whole

HEAD = ("kind", "name", "between", "size", "decided", "figures")


def _digits(*values: float | None) -> str:
    """Four digits; below a billionth is what a solver leaves of nothing."""
    return " ".join(
        "?" if value is None else f"{value if abs(value) > 1e-9 else 0:.4g}" for value in values
    )


def _rows(study: Study) -> Iterator[tuple[str, ...]]:
    done = sizing(study)
    for name, device in done.devices.items():
        figures = _digits(device.load_a, device.needed_a, device.peak_a, device.inrush_a)
        yield "device", name, device.family, device.label, device.decided, figures
    for name, one in choices(study).items():
        why = f"{one.device_why}; {one.smaller_why}; {one.thinner_why}"
        yield "choice", name, one.title, one.awg, why, _digits(one.current_a, one.smaller_a)
    for wire in chains(study).conductors():
        gauge, run = done.gauges.get(wire.id), runs(study)[wire.id]
        figures = _digits(
            run.length_m,
            done.peaks_a.get(wire.id),
            done.temperatures_degc.get(wire.id),
            done.careful_degc.get(wire.id),
        )
        between = f"{wire.a.id} {wire.b.id} by {' '.join(run.places)}"
        size = f"AWG {gauge.awg}" if gauge else wire.wire or ""
        yield "wire", wire.id, between, size, gauge.decided if gauge else wire.role, figures


def _tried(study: Study) -> Iterator[tuple[str, ...]]:
    """Every gauge that was tried for a chain, and how the bundles are loaded by those taken."""
    done = sizing(study)
    for name, chain in chains(study).by_name.items():
        found = candidates(study, chain)
        for one in found.tried if found else ():
            mark = "taken" if one.taken else "tried"
            figures = _digits(one.allowed_a, one.needed_a, one.lost_v, one.limit_v)
            why = f"{one.spot} {one.about}: {one.obstacle or 'does'}"
            yield mark, name, found.raised if found else "", f"AWG {one.awg}", why, figures
    for key, loading in done.loading.items():
        yield "bundle", key, " ".join(done.worst_moment[key]), "", "", _digits(loading)


def text(name: str, *, bare: bool = False) -> str:
    """All rows of a system; without lines of its text, which any edit of it moves."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEAD)
    study = from_nothing(whole(name)).study if bare else whole(name)
    writer.writerows(row for row in _rows(study) if not bare or row[0] != "wire")
    if bare:
        writer.writerows(_tried(study))
    return re.sub(r"(\.yaml)(:\d+)+", r"\1", out.getvalue())


def file(name: str, *, bare: bool = False) -> Path:
    """Where its figures are kept."""
    return Path(__file__).parent / "figures" / f"{name}{'-from-nothing' if bare else ''}.csv"


if __name__ == "__main__":
    for each in NAMES:
        for nothing in (False, True):
            file(each, bare=nothing).write_text(text(each, bare=nothing), encoding="utf-8")
    sys.stdout.write(f"{file('*')}\n")
