"""Which crimp contacts a connector takes: their family and size.

In: a connector type, or a family and a size. Out: both, as the table of contact ratings names them.
"""

import re
from functools import cache

from elec.standards.table import table


@cache
def contact_class(kind: str) -> tuple[str, str]:
    """Family and contact size in a type: `dsub-15` has size 20, `circular-38999-16` size 16.

    >>> contact_class("dsub-15"), contact_class("circular-38999-16"), contact_class("phono")
    (('dsub', '20'), ('circular-38999', '16'), ('', ''))
    """
    shells = table("elec/dsub_shells").select(arrangement=kind)
    if shells:
        family = "dsub-hd" if kind.startswith("dsub-hd") else "dsub"
        return family, shells[0].text("contact_size")
    found = re.fullmatch(r"(circular-\d+)-(\w+)", kind)
    return (found.group(1), found.group(2)) if found else ("", "")


def contact_meant(kind: str) -> tuple[str, str] | None:
    """Family and size of a contact that a type takes, or that is named; None: no such class here.

    >>> contact_meant("dsub-15"), contact_meant("circular-5015 12"), contact_meant("BNC")
    (('dsub', '20'), ('circular-5015', '12'), None)
    """
    family, size = contact_class(kind)
    if not family:
        family, _, size = kind.rpartition(" ")
    rows = table("elec/contact_ratings").select(family=family, contact_size=size)
    return (family, size) if rows else None
