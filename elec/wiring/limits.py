"""The limits that findings compare with: published, or tightened by the builder; never loosened.

In: the tables, `limits:` of the builder's file. Out: `Limit` by key. What the builder wrote that
is no limit, is no such quantity or would loosen one stands in `refused`; the published value then
holds.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Literal

from msgspec import Struct

from elec import units
from elec.standards import AWGS, Cite, default, table
from elec.standards.default import FACTORS
from elec.study import Study, analysis
from elec.wiring.demand import cells_factor
from elec.working import Rule as Bound
from elec.working import within


class Rule(Struct, frozen=True, kw_only=True):
    """A limit that a builder may tighten: where its value stands and which way is tighter."""

    key: str
    table: Literal["limits", "defaults", "drop"]
    bound: Bound
    dimension: str
    """As `elec.units.parse` takes it; `number` for a count or a ratio."""


DIMENSIONS = {
    "%": "fraction", "A": "current", "AWG": "gauge", "V": "voltage", "degC": "temperature",
    "in": "length", "min": "time", "mohm": "resistance", "s": "time",
    "uT": "magnetic flux density",
}  # fmt: skip
"""What a unit of the table measures; a unit that is not here counts something."""
DEFAULTS: Mapping[str, Bound] = {
    "minimum-power-gauge": "at least", "minimum-signal-gauge": "at least",
    "breaker-share": "at most", "fuse-share": "at most", "fault-multiple": "at least",
    "coordination-ratio": "at least", "spare-current-share": "at least",
}  # fmt: skip
"""Defaults by which things are chosen and judged alike: these may be tightened, too."""
DROPS = ("drop-continuous", "drop-intermittent")
"""Limits with a published table of their own, by nominal voltage."""


def _rules() -> Iterator[Rule]:
    for key in DROPS:
        yield Rule(key=key, table="drop", bound="at most", dimension="voltage")
    for key, bound in DEFAULTS.items():
        yield Rule(
            key=key, table="defaults", bound=bound,
            dimension=DIMENSIONS.get(default(key).unit, "number"),
        )  # fmt: skip
    for row in table("elec/limits"):
        yield Rule(
            key=row.text("key"),
            table="limits",
            bound="at most" if row.text("bound") == "at most" else "at least",
            dimension=DIMENSIONS.get(row.text("unit"), "number"),
        )


RULES: Mapping[str, Rule] = {rule.key: rule for rule in _rules()}
"""Every limit that a builder may tighten, by key."""


class Limit(Struct, frozen=True, kw_only=True):
    """A limit in force.

    `value` is in V, A, Ω, m, s or parts of one; a gauge counts its place from thin to thick.
    """

    key: str
    value: float
    bound: Bound
    meaning: str
    cite: Cite
    origin: str
    """`limit endurance`, or the place in the builder's text that tightens it."""
    tightened: bool = False

    def allows(self, value: float) -> bool:
        """Whether a value keeps it; a rounding error is forgiven."""
        return within(value, self.value, self.bound)

    @property
    def source(self) -> str:
        """Whose value it is, for print: the document's, or the builder's where he tightened it.

        >>> published("support-spacing").source
        'AC 43.13-1B 11-96'
        """
        return self.origin if self.tightened else str(self.cite)

    @property
    def awg(self) -> str:
        """The gauge, where it is one."""
        return AWGS[int(self.value)]


class Refused(Struct, frozen=True, kw_only=True):
    """What the builder wrote under `limits:` that does not hold, and why."""

    key: str
    text: str
    why: str
    remedy: str


class Limits(Struct, frozen=True, kw_only=True):
    """All limits in force, and what was refused."""

    by_key: Mapping[str, Limit]
    refused: tuple[Refused, ...] = ()


def limit(study: Study, key: str) -> Limit:
    """The limit in force: `limit(study, "endurance").value` is in seconds."""
    return limits(study).by_key[key]


def published(key: str, *, nominal_v: float = 14.0) -> Limit:
    """The published value of a limit.

    >>> published("endurance").value
    1800.0
    """
    return _published(key, cells_factor(nominal_v) > 1)


@cache
def _published(key: str, high: bool) -> Limit:
    rule = RULES.get(key)
    if rule is None:
        raise ValueError(f'no limit is called "{key}": data/elec/limits.csv has no such row')
    value, meaning, cite = _DOORS[rule.table](rule, high)
    return Limit(
        key=key, value=value, bound=rule.bound, meaning=meaning, cite=cite, origin=f"limit {key}"
    )


def _in_limits(rule: Rule, _: bool) -> tuple[float, str, Cite]:
    row = table("elec/limits").row(key=rule.key)
    return _si(rule, row.number("value"), row.text("unit")), row.text("meaning"), row.cite


def _in_defaults(rule: Rule, _: bool) -> tuple[float, str, Cite]:
    found = default(rule.key)
    return _si(rule, found.value, found.unit), found.meaning, found.cite


def _in_drop(rule: Rule, high: bool) -> tuple[float, str, Cite]:
    row = table("ac4313/allowed_drop").row(nominal_v=28.0 if high else 14.0)
    kind = rule.key.removeprefix("drop-")
    meaning = f"greatest drop between bus and load and back, {kind} load"
    cite = Cite("ac4313", "table 11-6", row.text(f"{kind}_certainty"))
    return row.number(f"{kind}_v"), meaning, cite


_DOORS = {"limits": _in_limits, "defaults": _in_defaults, "drop": _in_drop}


def _si(rule: Rule, value: float, unit: str) -> float:
    if rule.dimension == "gauge":
        return float(AWGS.index(f"{value:.0f}"))
    return value * FACTORS.get(unit, 1.0)


@analysis
def limits(study: Study) -> Limits:
    """Every limit in force in this system."""
    nominal = study.system.about.nominal_v
    found = {key: published(key, nominal_v=nominal) for key in RULES}
    refused: list[Refused] = []
    for key, text in study.document.limits.items():
        if key not in RULES:
            refused.append(_unknown(key, text))
            continue
        changed = _tightened(study, found[key], text)
        if isinstance(changed, Refused):
            refused.append(changed)
        else:
            found[key] = changed
    return Limits(by_key=found, refused=tuple(refused))


def _unknown(key: str, text: str) -> Refused:
    from difflib import get_close_matches

    near = get_close_matches(key, RULES, n=1)
    guess = f"Did you mean {near[0]}? " if near else ""
    return Refused(
        key=key,
        text=text,
        why=f'There is no limit "{key}", so it tightens nothing.',
        remedy=f"{guess}docs/checks.md lists every limit.",
    )


def _tightened(study: Study, usual: Limit, text: str) -> Limit | Refused:
    try:
        value = _parse(RULES[usual.key], text)
    except (units.UnitError, ValueError) as error:
        return Refused(
            key=usual.key,
            text=text,
            why=f"The limit {usual.key} cannot be read: {error}.",
            remedy=f"Write a quantity like that of the limit: {shown(usual)}.",
        )
    if not usual.allows(value):
        return Refused(
            key=usual.key,
            text=text,
            why=f"{text} would loosen the limit {usual.key}, {usual.bound} {shown(usual)}; "
            "a limit may only be tightened, so the published one holds.",
            remedy="Take it out of limits. To live with a finding all the same, accept it with a "
            "reason (accept:); it stays visible then.",
        )
    where = study.system.where("limits", usual.key)
    return Limit(
        key=usual.key,
        value=value,
        bound=usual.bound,
        meaning=usual.meaning,
        cite=usual.cite,
        origin=f"tightened in {where}",
        tightened=True,
    )


def _parse(rule: Rule, text: str) -> float:
    if rule.dimension == "number":
        return float(text)
    if rule.dimension == "gauge":
        return float(AWGS.index(units.parse(text, "gauge")))
    found: float = units.parse(text, rule.dimension)
    return found


_SUFFIX = {
    "voltage": "v",
    "current": "a",
    "resistance": "ohm",
    "length": "m",
    "time": "s",
    "fraction": "fraction",
    "magnetic flux density": "t",
    "temperature": "degc",
}


def shown(one: Limit, system: units.UnitSystem = "feet") -> str:
    """A limit for print, with its unit.

    >>> shown(published("endurance")), shown(published("minimum-power-gauge"))
    ('30 min', 'AWG 22')
    >>> shown(published("support-spacing")), shown(published("support-spacing"), "metric")
    ('2 ft', '610 mm')
    """
    rule = RULES[one.key]
    if rule.dimension == "gauge":
        return f"AWG {one.awg}"
    if rule.dimension == "number":
        return f"{one.value:g}"
    return units.show(one.value, _SUFFIX[rule.dimension], system)
