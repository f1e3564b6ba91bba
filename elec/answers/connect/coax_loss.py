"""What every coaxial cable loses at the frequency of its service, against what that service allows.

In: cables, runs, the coax tables. Out: `CoaxLoss` by cable, by the worst credible curve of the
cable's type; the nominal one stands beside it.
"""

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.physics.coax import attenuation_db_per_m, longest_m, loss_db
from elec.standards import NotCovered, TableRow, cited, table
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.runs import runs
from elec.working import Step, Term, Working

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
    joint = _connector_db(mhz)
    per_m = {
        basis: attenuation_db_per_m(
            k1=kind.number(f"k1_{basis}"), k2=kind.number(f"k2_{basis}"), frequency_mhz=mhz
        )
        for basis in ("worst", "nominal")
        if kind.has(f"k1_{basis}")
    }
    lost = {
        basis: loss_db(
            attenuation_db_per_m=per, length_m=length_m, connectors=ENDS, connector_loss_db=joint
        )
        for basis, per in per_m.items()
    }
    allowed = base.allowed_db or service.number("allowed_db")
    return replace(
        base,
        worst_db=lost["worst"],
        nominal_db=lost.get("nominal"),
        longest_m=longest_m(
            allowed_db=allowed,
            attenuation_db_per_m=per_m["worst"],
            connectors=ENDS,
            connector_loss_db=joint,
        ),
        working=_working(base, kind, "worst", length_m=length_m, joint=joint, lost=lost["worst"]),
        nominal_working=_working(
            base, kind, "nominal", length_m=length_m, joint=joint, lost=lost["nominal"]
        )
        if "nominal" in lost
        else None,
    )


def _connector_db(frequency_mhz: float) -> float:
    for row in table("elec/coax_connector_loss"):
        if frequency_mhz <= row.number("up_to_mhz"):
            return row.number("loss_db")
    raise NotCovered("frequency", f"{frequency_mhz:g} MHz", "up to 1610 MHz", "connector loss")


def _cable_terms(base: CoaxLoss, kind: TableRow, basis: str, length_m: float) -> tuple[Term, ...]:
    said = "worst credible" if basis == "worst" else "expected"
    remark = f": {kind.text(f'{basis}_basis')}" if kind.has(f"{basis}_basis") else ""
    origin = f"{kind.cite}, {base.type}, {said}{remark}"
    return (
        Term(
            symbol="k1",
            value=kind.number(f"k1_{basis}"),
            unit="",
            meaning="skin effect",
            origin=origin,
        ),
        Term(
            symbol="k2",
            value=kind.number(f"k2_{basis}"),
            unit="",
            meaning="dielectric",
            origin=origin,
        ),
        Term(
            symbol="f",
            value=base.frequency_mhz,
            unit="MHz",
            meaning=f"highest of {base.service}",
            origin=f"table of services: {base.source}",
        ),
        Term(symbol="L", value=length_m, unit="m", meaning="length", origin="runs"),
    )


def _working(
    base: CoaxLoss, kind: TableRow, basis: str, *, length_m: float, joint: float, lost: float
) -> Working:
    terms = (
        *_cable_terms(base, kind, basis, length_m),
        Term(
            symbol="n", value=float(ENDS), unit="", meaning="connectors", origin="one at each end"
        ),
        Term(
            symbol="c",
            value=joint,
            unit="dB",
            meaning="loss of one connector",
            origin=str(table("elec/coax_connector_loss").cite),
        ),
    )
    step = Step(
        result=Term(
            symbol="A", value=lost, unit="dB", meaning="lost on the way", origin="computed"
        ),
        formula="(k1 * sqrt(f) + k2 * f) / 30.48 * L + n * c",
        terms=terms,
        source=f"{cited(attenuation_db_per_m)}, per 100 ft",
    )
    return Working(title=f"Loss of {base.title}", steps=(step,))
