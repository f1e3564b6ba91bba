"""Contactors and relays: how each coil is fed, what is lost where it is dead, what a weld does."""

from collections.abc import Iterator, Mapping

from elec.answers.connect.coils import CoilPath, coil_paths
from elec.answers.connect.engaged import engaged
from elec.answers.failures.failures import Effect, worst_effects
from elec.answers.failures.welds import Weld, live_with, welds
from elec.answers.time.cranking import named_starter
from elec.answers.time.release import releases
from elec.pages.columns import listed, text
from elec.pages.failures.table import MOST
from elec.pages.table import Cell, Table, Value
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, Part
from elec.wiring.coils import contacts

WELDS = Cite("trade", "contacts that weld", "memory")


def coils_table(study: Study) -> Table:
    """One row a contactor or relay."""
    effects = {one.failure.id: one for one in worst_effects(study)}
    over = (
        "A relay that changes feeders over is solved in three positions: stuck pulled in, stuck at "
        "rest, closed on both sides; a weld takes something with a second failure alone, and joins "
        "no sources where none are named. "
        if welds(study)
        else ""
    )
    return Table(
        id="coils",
        title="Contactors and relays",
        columns=(
            text("contactor", "Contactor or relay"),
            text("fed", "Its coil is fed from"),
            text("switch", "Switched by"),
            text("chosen", "Chosen by elec", 3),
            text("open", "Coil, its wire or its switch open: lost at once"),
            text("welded", "Contact welded: what cannot be turned off"),
            text("safe", "Made safe by"),
            text("lets_go", "Lets go after its switch opens"),
        ),
        rows=tuple(_row(study, one, effects) for one in coil_paths(study).values()),
        note="Lost at once: in the worst phase of flight, with the feeders as in normal flight, "
        "the coil itself left out. A weld is found before flight: with its switch off, what hangs "
        "behind it has to be dead; after a start, the starter's cable too "
        f"({WELDS}). {over}{_lights(study)}A wire from coil to switch that is chafed to ground "
        "holds its contactor closed like a weld.",
    )


def _lights(study: Study) -> str:
    """Whether a light shows the pilot that a starter's contactor is closed."""
    texts = []
    for name, one in engaged(study).items():
        title = study.system.title("switches", name)
        if one.light == "given":
            lamp = study.system.title("equipment", one.lamp)
            text = f"{lamp} shows that {title} is closed"
            if not one.returns:
                text = f"{lamp} is to show that {title} is closed, and no way back of its current "
                text += "is given"
        elif one.light == "none":
            text = f"No light shows that {title} is closed"
        else:
            text = f"Whether a light shows that {title} is closed is not said"
        texts.append(f"{text[:1].upper()}{text[1:]} (coil-engaged). ")
    return "".join(texts)


def _row(study: Study, one: CoilPath, effects: Mapping[str, Effect]) -> tuple[Value, ...]:
    effect = effects.get(f"coil:{one.switch}")
    welded, safe = _welded(study, one)
    if one.circuit is None:
        return one.title, None, None, "", None, welded, safe, _soon(study, one)
    side = " (between coil and ground)" if one.ground_side else ""
    return (
        one.title,
        one.begins,
        listed([part.label for part in one.openers]) + side if one.openers else "nothing",
        listed(one.chosen),
        None if effect is None else _lost(study, one, effect),
        welded,
        safe,
        _soon(study, one),
    )


def _soon(study: Study, one: CoilPath) -> str | None:
    """With what is fitted, and with what else may be; None where it cannot be told."""
    every = releases(study)[one.switch].every if one.switch in releases(study) else ()
    told = [f"{held.soon} with {held.part}" for held in every]
    fitted = releases(study)[one.switch].fitted if every else None
    if told and fitted is None:
        told.insert(0, "with what is fitted: ?")
    before = releases(study)[one.switch].before if one.switch in releases(study) else ()
    told += [f"{late.soon} from {late.hand} on, through {late.title}" for late in before]
    return "; ".join(told) or None


def _lost(study: Study, one: CoilPath, effect: Effect) -> Value:
    own = one.coil.load if one.coil is not None else ""
    names = [study.system.title("equipment", name) for name in effect.lost if name != own]
    names += [study.system.title("sources", name) for name in effect.sources]
    if not names:
        off = [
            study.system.end_title(end)
            for chain, part in one.contacts
            for end in (chain.source_end, chain.far_end)
            if chain.kind == "feeder" and end in study.document.sources and not part.resting
        ]
        return f"no load; {listed(off)} no longer feeds through it" if off else "no load"
    whole = listed(names)
    if len(names) <= MOST:
        return whole
    return Cell(value=whole, text=f"{', '.join(names[:MOST])} and {len(names) - MOST} more")


def _welded(study: Study, one: CoilPath) -> tuple[str, str]:
    """What stays on, and what else takes it off."""
    stays = dict.fromkeys(
        f"{chain.title}: it turns on with the engine"
        if _starts(chain)
        else f"{chain.title} stays closed" + _no_way_back(one, chain, part)
        for chain, part in one.contacts
        if part.kind != "changeover" or not part.resting
    )
    stays |= dict.fromkeys(_live(study, one))
    for weld in welds(study):
        if weld.relay == one.switch:
            stays |= dict.fromkeys(_later(study, weld))
    ways = dict.fromkeys(way for chain, _ in one.contacts for way in _off(study, chain))
    ground = "on the ground: engine stopped, the battery's negative lead off"
    return "; ".join(stays), "; ".join((*([listed([*ways])] if ways else []), ground))


def _live(study: Study, one: CoilPath) -> Iterator[str]:
    """What a contact that cannot open keeps live with every switch off."""
    feeding = frozenset(p.id for c, p in one.contacts if c.kind == "feeder" and not p.resting)
    resting = frozenset(p.id for _, p in one.contacts if p.resting and p.kind == "changeover")
    yield from _stay_live(study, live_with(study, feeding, resting), "")


def _stay_live(study: Study, buses: tuple[str, ...], where: str) -> Iterator[str]:
    if buses:
        names = listed([study.system.title("buses", name) for name in buses])
        yield f"{where}{names} {'stay' if len(buses) > 1 else 'stays'} live with every switch off"


def _later(study: Study, weld: Weld) -> Iterator[str]:
    """What a relay that changes over takes, keeps live and joins in one stuck position."""
    stuck = WHERE[weld.failure.id.rpartition(":")[2]]
    for end, lost in weld.then_lost.items():
        names = listed([study.system.title("equipment", name) for name in lost])
        are = "are" if len(lost) > 1 else "is"
        yield f"{stuck}: with {study.system.end_title(end)} lost, {names} {are} lost, too"
    if stuck != WHERE["pulled-in"]:
        yield from _stay_live(study, weld.live, f"{stuck}: ")
    if weld.joined:
        names = listed([study.system.title("sources", name) for name in weld.joined])
        yield f"{stuck}: it joins {names}"


WHERE = {"pulled-in": "pulled in", "at-rest": "at rest", "bridged": "closed on both sides"}
"""In which position a relay is stuck."""


def _no_way_back(one: CoilPath, chain: Chain, contact: Part) -> str:
    """What a relay that changes over cannot go to while it is stuck."""
    if contact.kind != "changeover":
        return ""
    other = next((c.title for c, p in one.contacts if p.resting and c.far_end == chain.far_end), "")
    return f", and {other} cannot take over" if other else ""


def _starts(chain: Chain) -> bool:
    return chain.kind == "circuit" and any(named_starter(load) for load in chain.loads)


def _off(study: Study, chain: Chain) -> list[str]:
    """Breakers in the same wire, and the contacts that feed what it begins at."""
    found = []
    if chain.device is not None and chain.device.kind == "breaker":
        found.append(f"its breaker ({chain.title})")
    for name, poles in contacts(study).items():
        if any(c.kind == "feeder" and c.far_end == chain.source_end for c, _ in poles):
            path = coil_paths(study).get(name)
            by = [p.label for p in path.openers] if path is not None else []
            found.append(f"{listed(by) or study.system.title('switches', name)} off")
    ends = {end for f in study.document.feeders if chain.source_end in (f.from_, f.to)
            for end in (f.from_, f.to)}  # fmt: skip
    for name, source in study.document.sources.items():
        if source.kind == "alternator" and name in ends and chain.kind == "circuit":
            found.append(f"the field of {study.system.title('sources', name)} off")
    return found


__all__ = ["coils_table"]
