"""Every published table, by name."""

from elec.standards.cite import DATA


def table_names() -> tuple[str, ...]:
    return tuple(sorted(f"{path.parent.name}/{path.stem}" for path in DATA.glob("*/*.csv")))
