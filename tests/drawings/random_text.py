"""Random small systems as text: circuits, signals, shields, coaxial lines, plugs, panels."""

import random

TYPES = {"dsub-9": 9, "dsub-15": 15, "dsub-25": 25, "dsub-37": 37}
SIGNALS = (
    "serial-out",
    "serial-low",
    "phones",
    "phones-low",
    "microphone",
    "alert",
    "level",
    "data-high",
)
FIRST = 15
"""The first contact of the plug that power goes through; signals have fewer."""
SHIELDS = ("", ", shield: from, drain: block", ", shield: to", ", shield: both, drain: block",
           ", shield: none")  # fmt: skip


def random_text(seed: int) -> str:
    """A whole system that can be read."""
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    boxes = {f"box-{i}": rnd.choice(list(TYPES)) for i in range(rnd.randint(2, 7))}
    free = {name: list(range(3, TYPES[kind] + 1)) for name, kind in boxes.items()}
    wires: list[str] = []
    cables: list[str] = []
    used: dict[str, dict[int, str]] = {name: {1: "power", 2: "ground"} for name in boxes}
    plug = 0

    def pin(name: str) -> str:
        number = free[name].pop(rnd.randrange(len(free[name])))
        used[name][number] = rnd.choice(SIGNALS)
        return f"{name}.J1.{number}"

    for n in range(rnd.randint(1, 14)):
        a, b = rnd.sample(list(boxes), 2)
        if len(free[a]) < 4 or len(free[b]) < 4:
            continue
        chance = rnd.random()
        if chance < 0.35:
            wires.append(f"{{from: {pin(a)}, to: {pin(b)}}}")
        elif chance < 0.5:
            plug += 1
            wires.append(f"{{from: {pin(a)}, to: plug.{plug}}}")
            wires.append(f"{{from: plug.{plug}, to: {pin(b)}}}")
        elif chance < 0.6:
            wires.append(f"{{from: {pin(a)}, to: block}}")
        elif chance < 0.7:
            wires.append(f"{{from: {pin(a)}, to: sender}}")
        else:
            cores = rnd.randint(2, 4)
            text = ", ".join(
                f"{c}: {{from: {pin(a)}, to: {pin(b)}}}" for c in "abcd"[: min(cores, 3)]
            )
            word = rnd.choice((" shielded", " shielded", " twisted", ""))
            shield = rnd.choice(SHIELDS) if word == " shielded" else ""
            cables.append(
                f"  cable-{n}: {{type: {cores}-core AWG 22{word}, cores: {{{text}}}{shield}}}"
            )
    coax: list[str] = []
    if rnd.random() < 0.5:
        coax = ["coax:", "  antenna-lead: {type: RG-400, from: box-0.antenna, to: antenna}"]
    if rnd.random() < 0.5:
        cables.append("  spare: {type: 2-core AWG 20, from: panel, to: tail, spare: yes}")
    loads = {f"load-{i}": rnd.choice(("panel", "tail")) for i in range(rnd.randint(0, 9))}
    about = f"return: {rnd.choice(('wired', 'airframe'))}, paper: {rnd.choice(('A4', 'Letter'))}"
    lines = [
        f"system: {{name: Random {seed}, nominal: 14 V, structure: aluminium, {about}}}",
        "phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}",
        "sources:",
        "  battery: {kind: lead-acid, place: tail, capacity: 18 Ah, resistance: 9 mΩ}",
        "buses: {main: {place: panel}, second: {place: panel}}",
        "feeders:",
        "  - {from: battery, to: main, limiter: auto, contactor: master}",
        f"  - {{from: main, to: second, breaker: 20 A{rnd.choice(('', ', switch: second'))}}}",
        "grounds: {block: {place: panel, kind: block}, rear: {place: tail, kind: stud}}",
        "places: {panel: {station: 60 in}, tail: {station: 200 in}}",
        "ways: [{between: [panel, tail], length: 12 ft}]",
        "plugs:",
        "  plug: {place: tail, type: circular-38999-20, contacts: socket}",
        "equipment:",
        "  sender: {place: tail, passive: yes}",
        "  antenna: {place: tail, passive: yes}",
    ]
    for name, kind in boxes.items():
        pins = ", ".join(f"{n}: {signal}" for n, signal in sorted(used[name].items()))
        more = ", antenna: {type: BNC, contacts: socket}" if name == "box-0" else ""
        lines.append(
            f"  {name}: {{place: {rnd.choice(('panel', 'tail'))}, draw: {rnd.choice((5, 36))} W, "
            f"connectors: {{J1: {{type: {kind}, contacts: pin, pins: {{{pins}}}}}{more}}}}}"
        )
    lines += [f"  {name}: {{place: {place}, draw: 1 A}}" for name, place in loads.items()]
    lines.append("circuits:")
    parted = [name for name in loads if loads[name] == "tail"][:2]
    for name in (*boxes, *loads):
        ends = f"{name}.J1.1, ground: {name}.J1.2" if name in boxes else name
        extra = rnd.choice(("", "", ", switch: lights", f", switch: {name}", ", twisted: yes"))
        bus, device = rnd.choice(("main", "second")), rnd.choice(("breaker", "breaker", "fuse"))
        if name in parted:
            at = 2 * parted.index(name) + FIRST
            extra += f", through: {{plug: {{feed: {at}, return: {at + 1}}}}}"
        lines.append(f"  {name}: {{bus: {bus}, {device}: auto, feeds: {ends}{extra}}}")
    if len(loads) > 2:
        several = ", ".join(f"{name}-b" for name in loads)
        at = lines.index("circuits:")
        lines[at:at] = [f"  {name}-b: {{place: tail, draw: 0.3 A}}" for name in loads]
        lines.append(f"  several: {{bus: main, breaker: auto, feeds: [{several}], splice: tail}}")
    lines += ["wires:", *(f"  - {wire}" for wire in wires)] if wires else []
    lines += ["multicores:", *cables] if cables else []
    lines += coax
    if rnd.random() < 0.5:
        lines.append("panels: {breakers: {place: panel, rows: [[box-0, free], [free]]}}"
                     if "  box-0: {bus: main, breaker" in "\n".join(lines) else "")  # fmt: skip
    return "\n".join(lines) + "\n"
