"""Where a wire ends, in words and as an id, the same in every table.

In: parts of chains. Out: texts such as `radio, J1 contact 8` and ids such as `radio.J1.8`.
"""

from elec.model.names import as_words
from elec.study import Study
from elec.wiring.chains import STRUCTURE, Conductor, Part, chains

CONTACTED = ("equipment", "connector", "source")
SWITCHED = ("switch", "contactor", "changeover")
DEVICES = ("breaker", "fuse", "limiter", "link")

_SECTIONS = {
    "bus": "buses",
    "source": "sources",
    "ground": "grounds",
    "equipment": "equipment",
    "connector": "plugs",
}


def end_id(part: Part) -> str:
    """The id of an end: `radio.J1.8`, `belly-block`, `wing-root.A`, `beacon` for its breaker."""
    if part.kind in (*CONTACTED, *SWITCHED, "post") and part.contact:
        return f"{part.name}.{part.contact}"
    if part.kind == "splice" and ":" in part.id:  # one of several
        return part.id
    return part.name or part.id


def end_text(study: Study, part: Part) -> str:
    """An end in words: `radio, J1 contact 8`, `belly ground block`, `2 A breaker of beacon`."""
    if part.kind == "equipment":
        return _equipment(study, part)
    if part.kind == "connector":
        return f"{study.system.title('plugs', part.name)}, contact {part.contact}"
    if part.kind == "source":
        side = {"+": "positive", "-": "negative"}.get(part.contact, part.contact)
        return f"{study.system.title('sources', part.name)}, {side}"
    if part.kind == "ground" and part.name == STRUCTURE:
        return part.label
    if part.kind in DEVICES:
        end = ", far end" if part.rated != part.name else ""
        return f"{part.kind} of {chains(study).by_name[part.name].title}{end}"
    if part.kind == "splice":
        title = chains(study).by_name[part.name].title
        return f"{part.label} of {title} at {spoken(study, part.place)}"
    if part.kind == "diode":
        return part.label
    if part.kind == "place":
        return spoken(study, part.place)
    if part.kind in _SECTIONS:
        return study.system.title(_SECTIONS[part.kind], part.name)
    label = part.label or as_words(part.name)
    entry = study.document.switches.get(part.name)
    plain = "switch" if part.kind == "post" and part.contact else part.kind
    kind = (entry.kind if entry is not None else None) or plain
    whole = kind in label or (part.kind == "post" and not part.contact)  # a post of it: said so
    words = label if whole else f"{label} {kind}"
    return f"{words}, terminal {part.contact}" if part.contact else words


POSTED = ("contactor", "relay")
"""Kinds of switches with a stud or terminal a side: a nut each."""


def post_of(part: Part, *, comes: bool) -> str:
    """The terminal of a contactor or relay that a wire is on; what is fed leaves from its load."""
    if part.kind == "post":
        return part.contact or "line"  # the jumper of its own coil
    if any(part.terminals):
        return part.terminals[0 if comes else -1]
    return "line" if comes else "load"


def wire_ends(study: Study, conductor: Conductor) -> tuple[str, str]:
    """From and to of a wire in words, of a contactor with the post that it goes on."""
    return (
        _on_post(study, conductor.a, comes=False),
        _on_post(study, conductor.b, comes=True),
    )


def _on_post(study: Study, part: Part, *, comes: bool) -> str:
    words = end_text(study, part)
    entry = study.document.switches.get(part.name) if part.kind in SWITCHED else None
    if entry is None or entry.kind not in POSTED or part.contact:
        return words
    return f"{words}, {post_of(part, comes=comes)} post"


def _equipment(study: Study, part: Part) -> str:
    title = study.system.title("equipment", part.name)
    connector, _, pin = part.contact.rpartition(".")
    if connector:
        return f"{title}, {connector} contact {pin}"
    if part.contact in study.document.equipment[part.name].connectors:
        return f"{title}, {part.contact}"
    words = {"+": "feed", "-": "return", "1": ""}.get(part.contact, part.contact)
    return f"{title}, {words}" if words else title


def spoken(study: Study, place: str) -> str:
    """A place for print: its name, else its identifier with spaces."""
    return study.system.title("places", place)
