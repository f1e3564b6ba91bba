"""What every coaxial cable loses at the frequency of its service, against what that service allows.

In: cables, runs, the coax tables. Out: `CoaxLoss` by cable, by the worst credible curve of the
cable's type; the nominal one stands beside it.
"""

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.physics.coax import attenuation_db_per_m, longest_m, loss_db
from elec.standards import NotCovered, TableRow, table
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.runs import runs
from elec.working import Step, Working, given, leading_to

ENDS = 2
"""A connector at each end."""


class CoaxLoss(Struct, frozen=True, kw_only=True):
    """One coaxial cable; None where not known, then `unknown` says why and `missing` what."""

    cable: str
    type: str
    service: str
    title: str
    frequency_mhz: float
    length_m: float | None
    worst_db: float | None
    nominal_db: float | None
    allowed_db: float | None
    asked_db: float
    """What it has to lose at least, so that an amplified antenna does not overload the receiver."""
    longest_m: float | None
    """The longest that keeps the allowance."""
    source: str
    working: Working
    """Of the worst curve."""
    nominal_working: Working | None = None
    unknown: str = ""
    missing: str = ""


@analysis
def coax_losses(study: Study) -> Mapping[str, CoaxLoss]:
    """Every coaxial cable of the system."""
    return {
        chain.name: _loss(study, chain)
        for chain in chains(study).of("cable")
        if any(c.role == "coax" for c in chain.conductors())
    }


def _loss(study: Study, chain: Chain) -> CoaxLoss:
    cable = study.document.cables[chain.name]
    conductor = next(c for c in chain.conductors() if c.role == "coax")
    length = runs(study)[conductor.id].length_m
    types = table("elec/coax").select(cable=cable.type)
    services = table("elec/coax_service").select(key=cable.service or "")
    base = _base(chain, cable.type, cable.service or "", length, services)
    if cable.loss_db is not None:  # the manual of the radio decides
        where = f"the radio's manual ({study.system.where(*chain.path, 'loss')})"
        base = replace(base, allowed_db=cable.loss_db, source=where)
    if cable.least_loss_db is not None:
        base = replace(base, asked_db=cable.least_loss_db)
    if not services:
        known = ", ".join(row.text("key") for row in table("elec/coax_service"))
        said = f'"{cable.service}" is no service known here' if cable.service else "not said"
        return _blank(base, f"what it serves is {said}", f"Give service: one of {known}.")
    if not types or not types[0].has("k1_worst"):
        return _blank(
            base,
            f"the loss of {cable.type} is not published here",
            "Compare the data sheet of the cable with the radio's manual.",
        )
    if length is None:
        return _blank(base, runs(study)[conductor.id].unknown, "Give the missing length.")
    try:
        return _computed(base, types[0], services[0], length)
    except NotCovered as gap:
        return _blank(base, str(gap), "Go by the data sheet of the cable.")


def _base(
    chain: Chain, kind: str, service: str, length_m: float | None, services: tuple[TableRow, ...]
) -> CoaxLoss:
    row = services[0] if services else None
    return CoaxLoss(
        cable=chain.name,
        type=kind,
        service=service,
        title=chain.title,
        frequency_mhz=row.number("greatest_mhz") if row else 0.0,
        length_m=length_m,
        worst_db=None,
        nominal_db=None,
        allowed_db=row.number("allowed_db") if row else None,
        asked_db=row.number("least_db") if row and row.has("least_db") else 0.0,
        longest_m=None,
        source=str(row.cite) if row else "",
        working=Working(title=f"Loss of {chain.title}", steps=()),
    )


def _blank(base: CoaxLoss, unknown: str, missing: str) -> CoaxLoss:
    return replace(base, unknown=unknown, missing=missing)


def _computed(base: CoaxLoss, kind: TableRow, service: TableRow, length_m: float) -> CoaxLoss:
    mhz = service.number("greatest_mhz")
    low, high = kind.number("least_mhz"), kind.number("greatest_mhz")
    if not low <= mhz <= high:
        raise NotCovered("frequency", f"{mhz:g} MHz", f"{low:g} to {high:g} MHz", f"{base.type}")
    loss = {
        basis: _loss_step(base, kind, basis, length_m)
        for basis in ("worst", "nominal")
        if kind.has(f"k1_{basis}")
    }
    worst, nominal = loss["worst"], loss.get("nominal")
    per_m = {term.symbol: term.value for term in worst.terms}["a"]
    return replace(
        base,
        worst_db=worst.result.value,
        nominal_db=nominal.result.value if nominal else None,
        longest_m=longest_m(
            allowed_db=base.allowed_db or service.number("allowed_db"),
            attenuation_db_per_m=per_m,
            connectors=ENDS,
            connector_loss_db=_connector_db(mhz),
        ),
        working=_working(base, worst),
        nominal_working=_working(base, nominal) if nominal else None,
    )


def _connector_db(frequency_mhz: float) -> float:
    for row in table("elec/coax_connector_loss"):
        if frequency_mhz <= row.number("up_to_mhz"):
            return row.number("loss_db")
    raise NotCovered("frequency", f"{frequency_mhz:g} MHz", "up to 1610 MHz", "connector loss")


def _loss_step(base: CoaxLoss, kind: TableRow, basis: str, length_m: float) -> Step:
    said = "worst credible" if basis == "worst" else "expected"
    remark = f": {kind.text(f'{basis}_basis')}" if kind.has(f"{basis}_basis") else ""
    origin = f"{kind.cite}, {base.type}, {said}{remark}"
    mhz = base.frequency_mhz
    per_m = attenuation_db_per_m.step(
        k1=given(kind.number(f"k1_{basis}"), origin),
        k2=given(kind.number(f"k2_{basis}"), origin),
        frequency_mhz=given(mhz, f"table of services: {base.source}", f"highest of {base.service}"),
    )
    return loss_db.step(
        attenuation_db_per_m=per_m,
        length_m=given(length_m, "runs"),
        connectors=given(float(ENDS), "one at each end"),
        connector_loss_db=given(_connector_db(mhz), str(table("elec/coax_connector_loss").cite)),
    )


def _working(base: CoaxLoss, loss: Step) -> Working:
    return Working(title=f"Loss of {base.title}", steps=leading_to(loss))
