"""Which gauges the builder has, and which the maker of a box asks for.

In: `stock:`, `maker-asks:`. Out: gauges, where they bind.
"""

from elec.analyses.chains import Chain
from elec.standards import AWGS
from elec.study import Study, analysis


@analysis
def shelf_gauges(study: Study) -> tuple[str, ...]:
    """The gauges on the shelf that its contacts take, thin to thick; empty where none is listed."""
    stock = study.document.stock
    found = set(stock.gauges)
    if stock.contacts:
        found = found & set(stock.contacts) if found else set(stock.contacts)
    return tuple(sorted((awg for awg in found if awg in AWGS), key=AWGS.index))


def off_the_shelf(study: Study, awg: str) -> str:
    """The next thicker gauge of the stock, where this one is not in it; else empty.

    Beyond the thickest of the stock every gauge has to be bought anyway.
    """
    have = shelf_gauges(study)
    if awg in have:
        return ""
    return next((one for one in have if AWGS.index(one) > AWGS.index(awg)), "")


def asked_gauges(study: Study, chain: Chain) -> tuple[str, str] | None:
    """The thickest gauge that the makers of a circuit's loads ask for, and who does."""
    found = [
        (asked.gauge, f"the maker of {study.system.title('equipment', name)} asks for it")
        for name in (chain.loads if chain.kind == "circuit" else ())
        if (asked := study.document.equipment[name].maker_asks) is not None and asked.gauge
    ]
    return max(found, key=lambda one: AWGS.index(one[0]), default=None)
