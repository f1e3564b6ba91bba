"""Ways, places, grounds, switches, connectors, contacts and cables: what was computed about each.

In: a name. Out: the answer in sentences, and the sections behind it.
"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.coax_loss import coax_losses
from elec.answers.connect.contacts import contact_loads, every_contact
from elec.answers.connect.holes import passages
from elec.answers.connect.pins import ConnectorPins, Pin, pins
from elec.answers.connect.switching import switching
from elec.answers.grounds.grounding import ground_points
from elec.answers.heat.heat import heat
from elec.answers.heat.why_wires import length_working
from elec.answers.time.release import releases
from elec.answers.why.why_thing import (
    bundle_working,
    ground_path_working,
    returning_working,
)
from elec.model.wiring import Coax
from elec.pages.circuits.pin import pin_table
from elec.pages.columns import listed
from elec.pages.document import Section, TableBlock
from elec.pages.why import table as tables
from elec.pages.why.circuit import full, parts, section
from elec.study import Study
from elec.wiring.chains import Chain, main_ground
from elec.wiring.surroundings import surroundings

Answer = tuple[tuple[str, ...], tuple[Section, ...]]


def way(study: Study, name: str) -> Answer:
    """The bundle on a way."""
    index = int(name)
    answer, sections = _bundle(study, f"way:{name}")
    passage = passages(study).get(index)
    if passage is None:
        return answer, sections
    words = (
        f"What lies on it cannot be measured out: {listed(passage.unknown)} has no known diameter."
        if passage.diameter_m is None
        else f"The bundle is {1000 * passage.diameter_m:.1f} mm thick."
    )
    size = section(f"why-size-{name}", "Thickness of the bundle", [passage.working])
    return (*answer, words), (*sections, *full((size,)))


def place(study: Study, name: str) -> Answer:
    """The wires within a place."""
    return _bundle(study, f"place:{name}")


def _bundle(study: Study, key: str) -> Answer:
    found = surroundings(study).bundles.get(key)
    if key in surroundings(study).coaxial:
        return ("Coaxial cable alone runs there: nothing is computed about its heat.",), ()
    if found is None:
        return ("No wire runs there: nothing is computed about it.",), ()
    working = bundle_working(study, key)
    inside = [heat(study)[m] for m in found.members if m in heat(study)]
    tight = max(
        (h for h in inside if h.spot == key and h.allowed_a > 0),
        key=lambda h: h.current_a / h.allowed_a, default=None,
    )  # fmt: skip
    texts = [
        f"{len(found.members)} wires run {found.where}, at {found.ambient.value:.0f} °C "
        f"({found.ambient.origin})"
        + (f", in {found.bundles} bundles." if found.bundles > 1 else "."),
    ]
    if working is not None and working.value is not None:
        texts.append(
            f"Packed together each may carry {100 * working.value:.0f} % of what it could alone."
        )
    if tight is not None:
        share = tight.current_a / tight.allowed_a
        texts.append(
            f"The tightest is {marks(study)[tight.conductor]}: {tight.current_a:.3g} A of "
            f"{tight.allowed_a:.3g} A, {100 * share:.0f} %."
        )
    blocks = [TableBlock(table=tables.bundle_members(study, key)), working]
    heats = tight.workings if tight is not None else ()
    return tuple(texts), parts(
        key, ("bundle", "What the bundle leaves", blocks), ("tightest", "Its tightest wire", heats)
    )


def ground(study: Study, name: str) -> Answer:
    """A ground point: what comes back through it, and how far it is from the battery."""
    point, title = ground_points(study)[name], study.system.title("grounds", name)
    loads = [study.system.title("equipment", one) for one in point.loads]
    texts = [
        f"{point.wires} end on {title}; {listed(loads[:8]) or 'no load'} "
        f"return{'s' if len(loads) == 1 else ''} to it"
        + (f", and {len(loads) - 8} more." if len(loads) > 8 else "."),
    ]
    path = ground_path_working(study, point)
    if name == main_ground(study):
        texts.append("It is the main ground: the battery's negative is wired to it.")
    elif path is None or path.value is None:
        texts.append("No way from it to the battery's negative is known.")
    else:
        texts.append(f"{1000 * path.value:.3g} mΩ lie between it and the main ground.")
    back = returning_working(study, name)
    if back is not None and back.value is not None:
        texts.append(f"At most {back.value:.3g} A come back through it: {back.binds}.")
    return tuple(texts), parts(
        name,
        ("back", "What comes back through it", [back]),
        ("path", "The way to the battery's negative", [path]),
    )


def switch(study: Study, name: str) -> Answer:
    """A switch, relay or contactor: the rating that its load asks for, how soon it lets go."""
    words, sections = _rating(study, name)
    release = releases(study).get(name)
    if release is None:
        return words, sections
    title = study.system.title("switches", name)
    if release.fitted is not None:
        told = (
            f"Its coil lets go {release.fitted.soon} after its switch has opened, "
            f"with {release.fitted.part} across it; the travel of its contact comes on top."
        )
        if release.starts:
            told += " So long the starter stays engaged after its button."
    else:
        told = f"How soon {title} lets go cannot be told: {release.unknown}."
    for one in release.others:
        told += f" With {one.part} it is {one.soon}."
    for late in release.before:
        told += f" From {late.hand} on, through {late.title}, it is {late.soon}."
        if late.unknown:
            told += f" It cannot be told: {late.unknown}."
    in_a_row = [late.working for late in release.before if late.working is not None]
    lets_go = parts(
        f"{name}-lets-go",
        *(
            (f"held-{k}", one.working.title, [one.working])
            for k, one in enumerate(release.every, 1)
        ),
        *((f"row-{k}", one.title, [one]) for k, one in enumerate(in_a_row, 1)),
    )
    return (*words, told), (*sections, *lets_go)


def _rating(study: Study, name: str) -> Answer:
    found = switching(study).get(name)
    if found is None:
        return (f"Nothing is computed about {study.system.title('switches', name)}.",), ()
    title = found.label or study.system.title("switches", name)
    if found.needed_a is None:
        texts = (f"What {title} needs cannot be told: {found.unknown}.",)
    else:
        kinds = listed(list(found.characters))
        rated = (
            "no rating is given" if found.rating_a is None else f"it is rated {found.rating_a:g} A"
        )
        texts = (
            (
                f"{title} carries {found.current_a:.3g} A ({kinds or 'no load'}) and needs a "
                f"rating of {found.needed_a:.3g} A; {rated}."
            ),
        )
    return texts, parts(name, ("switch", "Its rating", [found.working]))


def connector(study: Study, name: str) -> Answer:
    """A connector: its hardest worked contact."""
    one = pins(study).by_id[name]
    found = contact_loads(study).get(name)
    texts = [f"{one.title} is {_type(one)}; {_used(one)}."]
    if found is None:
        texts.append("No power passes through it: nothing is computed about it.")
    elif found.allowed_a is None:
        texts.append(f"What its contacts may carry cannot be told: {found.unknown}.")
    else:
        texts.append(
            f"Its hardest worked contact is {found.contact}: {found.current_a:.3g} A of "
            f"{found.allowed_a:.3g} A, {found.loaded} of {found.contacts} contacts loaded."
        )
    blocks = [TableBlock(table=pin_table(study, one)), found.working if found else None]
    return tuple(texts), parts(name, ("contacts", "Its contacts", blocks))


def _type(one: ConnectorPins) -> str:
    return one.type or "of no type that is given"


def _used(one: ConnectorPins) -> str:
    used = sum(bool(pin.landings) for pin in one.pins)
    return f"{used} of {one.contacts or len(one.pins)} contacts have a wire"


def contact(study: Study, name: str) -> Answer:
    """One contact of a connector: what lands on it, what it carries and may carry."""
    connector_name, _, label = name.rpartition(".")
    one = pins(study).by_id[connector_name]
    pin = one.pin(label)
    texts = list(_contact_words(one, pin))
    found = next((w for w in every_contact(one) if w.contact == label), None)
    working = None
    if found is not None and found.allowed_a is not None:
        texts.append(f"It may carry {found.allowed_a:.3g} A among its loaded neighbours.")
        working = found.working
    elif found is not None:
        texts.append(f"What it may carry cannot be told: {found.unknown}.")
    return tuple(texts), parts(name, ("contact", "The contact", [working]))


def _contact_words(one: ConnectorPins, pin: Pin) -> Iterator[str]:
    signal = f", {pin.signal}" if pin.signal else ""
    yield f"{one.title}, contact {pin.contact}{signal}: {pin.state}."
    for landing in pin.landings:
        carries = "" if landing.current_a is None else f", carries {landing.current_a:.3g} A"
        yield f"{landing.mark} lands on it and goes to {landing.goes_to}{carries}."


def cable(study: Study, chain: Chain) -> Answer:
    """A cable: the loss of a coaxial one, the length of any."""
    entry = study.document.cables[chain.name]
    texts = [f"{chain.title} is {entry.type}, {_ends(chain)}."]
    found = coax_losses(study).get(chain.name)
    loss = None
    if found is not None and found.worst_db is not None:
        texts.append(f"{found.worst_db:.2f} dB are lost on it at {found.service}.")
        loss = found.working
    elif isinstance(entry, Coax):
        texts.append(f"What it loses cannot be told: {found.unknown if found else 'no service'}.")
    lengths = [length_working(study, conductor) for conductor in chain.conductors()][:1]
    return tuple(texts), parts(chain.name, ("length", "Length", lengths), ("loss", "Loss", [loss]))


def _ends(chain: Chain) -> str:
    every = chain.conductors()
    if not every:
        return "without a core"
    core = every[0]
    return f"from {core.a.label or core.a.name} to {core.b.label or core.b.name}"
