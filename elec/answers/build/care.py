"""The cautions that belong to one aircraft and to the work on some of its loads, by name.

In: the document; elec/cautions.py has the sentences. Out: texts for terminal, pages and sheets.
"""

from collections.abc import Iterable, Iterator

from elec.cautions import ADVICE, ANSWERS, CARE
from elec.model.load import Equipment
from elec.sizing.order import cranking
from elec.study import Study

PUMPS = ("pump", "fan", "blower")
"""Last words of the names of motors that move nothing but air and liquid."""
GYROS = ("coordinator", "gyro", "horizon", "attitude")
"""Words in the names of instruments whose motor turns inside them."""
TRANSMITS = ("com", "transponder", "dme", "elt")
"""Services of coaxial lines into which something is sent."""
SENDS = frozenset({"transmit", "transmitting", "send", "sending", "key", "keyed"})
SILENT = frozenset({"receive", "receiving", "standby", "idle", "quiet", "listen", "listening"})
"""Words in the names of modes in which something is sent, and in which nothing is."""
LOUD = frozenset({"horn", "siren", "buzzer", "bell", "alarm", "tone", "sounder", "sounding"})
"""Words in the names of modes and loads that sound."""


def has_engine(study: Study) -> bool:
    """Whether anything speaks of an engine: an alternator, a starter, a phase in which it turns."""
    phases = study.document.phases.values()
    turns = any(p.engine is not None and p.engine.state != "stopped" for p in phases)
    alternators = any(s.kind == "alternator" for s in study.document.sources.values())
    roles = any(entry.role == "engine" for entry in study.document.equipment.values())
    return turns or alternators or roles or bool(cranking(study))


def fire(study: Study) -> str:
    """What is said of an electrical fire, by what the engine needs."""
    if not has_engine(study):
        return CARE["fire, no engine"]
    needs = study.system.about.electrically_dependent
    if needs is None:
        return CARE["fire, not known"]
    return CARE["fire, engine needs electricity" if needs else "fire, engine runs without"]


def cautions_for(study: Study | None, answer: str) -> tuple[str, ...]:
    """What the answer of a command carries: the advice, then its own cautions."""
    if answer not in ANSWERS:
        return ()
    subjects = ANSWERS[answer]
    if study is None:
        return (ADVICE,)
    return (ADVICE, *(fire(study) if one == "fire" else CARE[one] for one in subjects))


def general(study: Study) -> Iterator[str]:
    """What holds for every work on this aircraft."""
    yield CARE["battery"]
    if has_engine(study):
        yield CARE["fuel"]
        yield CARE["propeller"]
        yield CARE["magneto"]
    if any(s.kind == "lithium-iron-phosphate" for s in study.document.sources.values()):
        yield CARE["lithium"]
    yield CARE["first power"]
    yield fire(study)
    yield CARE["reset"]
    yield CARE["closing"]


def care_of(study: Study, loads: Iterable[str]) -> tuple[str, ...]:
    """The cautions of the work on some loads, each with the names that it is about."""
    return _grouped(
        study,
        ((load, _subjects(study, load, study.document.equipment[load])) for load in loads),
    )


def care_of_modes(study: Study, modes: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """The cautions of trying loads in further modes, each with the names that it is about."""
    return _grouped(study, ((load, _of_mode(study, load, mode)) for load, mode in modes))


def transmits(study: Study, load: str, mode: str) -> bool:
    """Whether a load sends something through an antenna in a mode.

    It does by the mode's name; by another name, too, where it is joined to an antenna that sends.
    """
    words = set(mode.split("-"))
    return not words.isdisjoint(SENDS) or (_on_antenna(study, load) and not words & SILENT)


def _grouped(study: Study, found: Iterable[tuple[str, Iterable[str]]]) -> tuple[str, ...]:
    names: dict[str, dict[str, None]] = {}
    for load, subjects in found:
        for subject in subjects:
            names.setdefault(subject, {})[study.system.title("equipment", load)] = None
    return tuple(f"{', '.join(titles)}: {CARE[subject]}" for subject, titles in names.items())


def _of_mode(study: Study, load: str, mode: str) -> Iterator[str]:
    """What a mode adds to the cautions of its load."""
    yield from (
        s for s in _subjects(study, load, study.document.equipment[load]) if s != "transmit"
    )
    if transmits(study, load, mode):
        yield "transmit"
    if not {*mode.split("-"), *load.split("-")}.isdisjoint(LOUD):
        yield "sounds"


def _subjects(study: Study, load: str, entry: Equipment) -> Iterator[str]:
    words = load.split("-")
    if entry.character == "heater" or entry.role == "pitot heat":
        yield "heats"
    if entry.character == "motor" and not any(word in (*PUMPS, *GYROS) for word in words):
        yield "moves"
    if entry.role == "anticollision light" or "strobe" in words:
        yield "flashes"
    if _on_antenna(study, load) and not entry.passive:
        yield "transmit"


def _on_antenna(study: Study, load: str) -> bool:
    """Whether a coaxial line into which something is sent ends on a load."""
    lines = [c for c in study.document.cables.values() if c.service in TRANSMITS]
    return load in {(end or "").partition(".")[0] for c in lines for end in (c.from_, c.to)}
