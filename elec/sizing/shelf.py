"""Which gauges and contacts the builder has, and which the maker of a box asks for.

In: `stock:`, `maker-asks:`. Out: gauges, where they bind; contacts by class.
"""

from collections import Counter
from collections.abc import Mapping

from elec.standards import AWGS
from elec.standards.contact import contact_meant
from elec.study import Study, analysis
from elec.wiring.chains import Chain


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


Contact = tuple[str, str, str]
"""Family (or a connector type of the builder's), size, pin or socket."""


@analysis
def shelf_contacts(study: Study) -> Mapping[Contact, int]:
    """Crimp contacts on the shelf by class: `dsub-9` and `dsub-37` take the same ones."""
    found: Counter[Contact] = Counter()
    own = study.document.connector_types
    for kind, gender, number in study.document.stock.crimp_contacts:
        meant = (kind, own[kind].contact_size) if kind in own else contact_meant(kind)
        if meant is not None:
            found[(*meant, gender)] += number
    return found


def asked_gauges(study: Study, chain: Chain) -> tuple[str, str] | None:
    """The thickest gauge that the makers of a circuit's loads ask for, and who does."""
    found = [
        (asked.gauge, f"the maker of {study.system.title('equipment', name)} asks for it")
        for name in (chain.loads if chain.kind == "circuit" else ())
        if (asked := study.document.equipment[name].maker_asks) is not None and asked.gauge
    ]
    return max(found, key=lambda one: AWGS.index(one[0]), default=None)
