"""How near the results come to their limits: of every check with numbers the nearest.

In: findings. Out: a `Figure`. Whether a result lies within its limit is its finding's verdict.
"""

from collections.abc import Iterable

from elec.drawings.charts.reach import NearChart, NearRow, near_chart
from elec.finding import AGAINST, Finding
from elec.pages.columns import sign_of
from elec.pages.document import Figure
from elec.pages.reference import apart

LEAST = 0.005
"""Less than half a per cent is none."""
MOST = 28
"""So many rows fill a page."""
COUNTED = frozenset({"", "contacts", "terminals", "wires"})
"""Units of what is counted or looked up: there is no near or far to it."""
TYPED = "sense-"
"""The checks whether an entry can be meant so: their limits are no aircraft's."""


def nearest_figure(findings: Iterable[Finding]) -> Figure | None:
    """A bar for each check whose findings compare numbers."""
    nearest: dict[str, Finding] = {}
    for finding in findings:
        if finding.value is None or not finding.limit or finding.unit in COUNTED:
            continue
        if finding.check.startswith(TYPED):
            continue
        if finding.check not in nearest or left(finding) < left(nearest[finding.check]):
            nearest[finding.check] = finding
    rows = sorted(nearest.values(), key=left)
    if not rows:
        return None
    shown = rows[:MOST]
    more = f" {len(rows) - MOST} further checks have more left." if len(rows) > MOST else ""
    return Figure(
        id="chart-nearest",
        title="How near to the limits",
        drawing=near_chart(NearChart(rows=tuple(_row(one) for one in shown))),
        description=(
            "Of each check that compares numbers the result that is nearest to its limit, and how "
            "much of the limit is left; what does not pass bears its sign. Some limits are met to "
            f"the number by choice (a breaker as its maker asks).{more}"
        ),
        words=tuple(f"{one.check}, {one.about}: {_said(one)}. {one.sentence}" for one in shown),
    )


def left(finding: Finding) -> float:
    """What is left to the limit as a share of it, below nothing where the finding is against it."""
    far = apart(finding)
    return -far if finding.verdict in AGAINST else far


def _row(finding: Finding) -> NearRow:
    return NearRow(
        name=f"{finding.check}: {finding.about}",
        left=left(finding),
        said=_said(finding),
        sign=sign_of(finding.verdict),
    )


def _said(finding: Finding) -> str:
    """How much is left, for print.

    >>> from elec.finding import Verdict
    >>> _said(Finding(check="c", about="a", verdict=Verdict.PASS, sentence="", value=9, limit=10))
    '10 % left'
    """
    part = left(finding)
    if abs(part) < LEAST:
        return "at the limit"
    return f"{100 * abs(part):.0f} % {'beyond' if part < 0 else 'left'}"
