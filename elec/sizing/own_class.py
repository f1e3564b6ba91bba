"""Device classes of the builder's own: a name that carries its curve with it.

In: `device-classes:` and `curve:` of the file. Out: the family of a device: the name of a published
class, or an `OwnFamily`.
"""

from typing import Any

from elec.model.device import Curve, CurvePoint, multiple
from elec.model.wiring import Protection
from elec.standards import BandPoint, Cite, CurveBand
from elec.study import Study


class OwnFamily(str):
    """The name of a class that no document has, with the builder's figures for it.

    It prints as its name. Two are equal when their figures are, so that results kept by name never
    mix up two systems.
    """

    __slots__ = ("band", "compensated", "interrupts_a", "recloses")

    band: CurveBand
    compensated: bool
    interrupts_a: float | None
    recloses: bool

    def __new__(
        cls,
        name: str,
        band: CurveBand,
        *,
        interrupts_a: float | None = None,
        compensated: bool = False,
        recloses: bool = False,
    ) -> "OwnFamily":
        """Join a name with its figures."""
        made = super().__new__(cls, name)
        made.band = band
        made.interrupts_a = interrupts_a
        made.compensated = compensated
        made.recloses = recloses
        return made

    def __getnewargs__(self) -> tuple[str, CurveBand]:  # type: ignore[override] # more than a str's
        """Let it travel between processes; the rest follows as its state."""
        return str(self), self.band

    def _content(self) -> tuple[Any, ...]:
        return (str(self), self.band, self.interrupts_a, self.compensated, self.recloses)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, OwnFamily) and self._content() == other._content()

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self._content())


def family_of(study: Study, protection: Protection, usual: str, path: tuple[str | int, ...]) -> str:
    """The class of a device: its own curve, a class of the builder's, a published one."""
    own = study.document.device_classes.get(protection.class_ or "")
    if protection.curve is not None:
        origin = str(study.system.where(*path, "curve"))
        band = _band(protection.class_ or "own curve", protection.curve, origin)
        return OwnFamily(
            protection.class_ or "own curve",
            band,
            interrupts_a=own.interrupts_a if own else None,
            compensated=protection.compensated or bool(own and own.compensated),
            recloses=bool(own and own.recloses),
        )
    if own is not None:
        name = str(protection.class_)
        origin = str(study.system.where("device-classes", name))
        where = f"{origin}, {own.source}" if own.source else origin
        return OwnFamily(
            name,
            _band(own.name or name, own.curve, where),
            interrupts_a=own.interrupts_a,
            compensated=own.compensated or protection.compensated,
            recloses=own.recloses,
        )
    return protection.class_ or usual


def _band(name: str, curve: Curve, where: str) -> CurveBand:
    points = sorted(
        ((multiple(key), point) for key, point in curve.items()), key=lambda pair: pair[0]
    )
    return CurveBand(
        name=name,
        points=tuple(_point(share, point) for share, point in points),
        cite=Cite("builder", where, "seen"),
    )


def _point(share: float, point: CurvePoint) -> BandPoint:
    holds = float("inf") if point.holds_s == "always" else point.holds_s
    return BandPoint(multiple=share, least_s=holds, most_s=point.opens_s)
