"""An entry whose name line is missing, so that its keys fall into the entry above.

In: a draft. Out: one mistake where the name should stand, instead of one for each of its keys.
"""

from collections import defaultdict

from elec.read.draft import Again, Draft, dotted

MOST_BY_THEMSELVES = 2
"""So many keys of one entry may be given twice by themselves; more of them are another entry."""


def tell_nameless(draft: Draft) -> None:
    """One mistake for each entry without a name."""
    _in_another(draft)
    _connectors(draft)


def _in_another(draft: Draft) -> None:
    """Keys that are given twice, for the entry that they belong to has no name."""
    runs: dict[tuple[str, tuple[str | int, ...]], list[Again]] = defaultdict(list)
    for again in draft.again:
        if again.mistake in draft.mistakes and len(again.path) > MOST_BY_THEMSELVES:
            runs[again.mistake.place.file, again.path[:-1]].append(again)
    for (_, path), found in runs.items():
        if len(found) <= MOST_BY_THEMSELVES:
            continue
        told = {id(again.mistake) for again in found}
        draft.mistakes = [m for m in draft.mistakes if id(m) not in told]
        first = min((again.mistake.place for again in found), key=lambda p: (p.line, p.column))
        keys = ", ".join(str(again.path[-1]) for again in found[:3])
        more = f" and {len(found) - 3} more" if len(found) > 3 else ""
        draft.at(
            (first.file, first.line, first.column),
            f"{dotted(path)} has {keys}{more} twice; is the line with the name of another entry "
            "missing above?",
        )


def _connectors(draft: Draft) -> None:
    """A connector's keys right under `connectors:`."""
    equipment = draft.data.get("equipment")
    for name, entry in equipment.items() if isinstance(equipment, dict) else ():
        found = entry.get("connectors") if isinstance(entry, dict) else None
        if isinstance(found, dict) and isinstance(found.get("type"), str):
            path = ("equipment", name, "connectors")
            draft.at(
                draft.keys[*path, "type"],
                f"{dotted(path)}: the name of the connector is missing above, such as J1:",
            )
            del entry["connectors"]
            draft.spoiled.add(path)
