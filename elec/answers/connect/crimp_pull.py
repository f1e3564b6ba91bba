"""How hard a test crimp is pulled, in words, by gauge."""

from collections.abc import Collection

from elec import units
from elec.standards import least_sure, table

LBF_N = 4.4482216


def crimp_pulls(gauges: Collection[str], *, short: bool = False) -> str:
    """The least pull on aircraft wire of each of these gauges; empty where none is published.

    `short`: the document was named before.

    >>> crimp_pulls({"22"}).partition(" (MIL")[0], crimp_pulls({"1/0"})
    ('AWG 22: 15 lbf (67 N)', '')
    """
    rows = [row for row in table("elec/crimp_pull").rows if row.text("awg") in gauges]
    pulls = ", ".join(
        f"{units.show_gauge(row.text('awg'))}: {row.number('military_lbf'):.0f} lbf "
        f"({row.number('military_lbf') * LBF_N:.0f} N)"
        for row in rows
    )
    if not rows:
        return ""
    cite = least_sure(row.cite for row in rows)
    return f"{pulls} ({cite.remark})" if short else f"{pulls} ({cite})"
