"""Connector contacts: what each may carry among others, how many to spare."""

from elec.standards.cite import source
from elec.standards.table import NotCovered, interpolate, table


@source("contact_specification", "rating factors, contacts loaded", "computed")
def loading_factor(*, loaded: int, contacts: int) -> float:
    """Share of its current that a contact keeps when a number of all contacts is loaded.

    1 for one alone; straight lines between the rows; 26 % and fewer from one contact on.

    >>> round(7.5 * loading_factor(loaded=10, contacts=20), 2)
    3.21

    Raises:
        NotCovered: no contact loaded, or more than there are.
    """
    if not 1 <= loaded <= contacts:
        raise NotCovered("loaded contacts", loaded, f"1 to {contacts}", "contact specification")
    if loaded == 1:
        return 1.0
    percent = 100 * loaded / contacts
    rows = table("elec/contact_loading")
    first = rows.rows[0].number("loaded_percent")
    if percent < first:
        one = (100 / contacts, 1.0)
        return interpolate(x=percent, left=one, right=(first, rows.rows[0].number("factor")))
    return rows.value("factor", loaded_percent=percent)


@source("trade", "parallel contacts share unevenly", "memory")
def hardest_contact_a(*, contacts: float, current_a: float, share: float) -> float:
    """Current of the hardest worked of contacts in parallel: I/(share·n), for they share unevenly.

    >>> round(hardest_contact_a(contacts=4, current_a=15.0, share=0.8), 2)
    4.69
    """
    return current_a / (share * contacts) if contacts > 1 else current_a


@source("ac4313", "11-234")
def spare_count(*, contacts: int) -> float:
    """Spare contacts to leave: 2 up to 25, 4 up to 100, 6 above.

    >>> [spare_count(contacts=n) for n in (9, 25, 26, 37, 104)]
    [2.0, 2.0, 4.0, 4.0, 6.0]
    """
    rows = table("elec/contact_spares").rows
    for row in rows:
        if row.has("contacts_to") and contacts <= row.number("contacts_to"):
            return row.number("spares_count")
    return rows[-1].number("spares_count")
