"""Can the device be bought?"""

from collections.abc import Iterator

from elec.answers.short.ratings import greater, smaller
from elec.check import check
from elec.checks.answer import answer, passes
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device, ratings_of
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains


@check(
    "Every device has a rating that is made",
    sources=(
        Cite("trade", "breaker ratings", "memory"),
        Cite("iso_8820", "ratings of fuses", "memory"),
    ),
)
def device_standard_rating(study: Study) -> Iterator[Finding]:
    """A rating that nobody makes cannot be replaced on the field, and no spares are stocked.

    It is advice only: the list is that of the usual makers, and of `stock:` where you give one.
    """
    for chain in chains(study).guarded():
        device = sizing(study).devices.get(chain.name)
        if device is not None and device.rating_a is not None:
            yield _finding(study, chain, device, device.rating_a)


def _finding(study: Study, chain: Chain, device: Device, rating_a: float) -> Finding:
    at = (*chain.path, device.kind)
    made = ratings_of(device.kind, device.family)
    kind = f"{device.kind}s of class {device.family}"
    if not made:
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"Which ratings of {kind} are made is not listed here.",
            at=at,
            remedy="Look it up where you buy it.",
            value=rating_a,
            unit="A",
        )
    stock = study.document.stock.ratings(device.kind)
    if stock and rating_a not in stock:
        have = ", ".join(f"{r:g} A" for r in stock)
        return answer(
            study,
            device.chain,
            Verdict.ADVISE,
            f"{rating_a:g} A is not in your stock of {device.kind}s ({have}).",
            at=at,
            remedy="Buy it, or see with elec size what it would take to use one that you have.",
            value=rating_a,
            unit="A",
        )
    return answer(
        study,
        chain.name,
        passes(rating_a in made, Verdict.ADVISE),
        f"{rating_a:g} A is {'a' if rating_a in made else 'no'} usual rating of {kind}.",
        at=at,
        remedy="" if rating_a in made else _remedy(study, chain, device),
        value=rating_a,
        unit="A",
    )


def _remedy(study: Study, chain: Chain, device: Device) -> str:
    """The nearest ratings that pass all that is asked of a device; else what is made."""
    fits = [fit for fit in (smaller(study, chain, device), greater(study, chain, device)) if fit]
    if fits:
        return f"Take {' or '.join(fit.words for fit in fits)}."
    made = ", ".join(f"{r:g} A" for r in ratings_of(device.kind, device.family))
    return f"Made are {made}; none of them passes all that is asked of a device here."
