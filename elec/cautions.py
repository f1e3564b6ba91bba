"""Every sentence that keeps people from harm, in one place.

Terminal, pages, sheets and files ask here, and docs/limits.md is written from here, so that what is
printed and what is done are the same. `ANSWERS` says which command carries which.
"""

from collections.abc import Mapping

SHORT = "advice, not approval"
"""Where a line has no room: title blocks, feet of pages."""
ADVICE = (
    "Advice, computed from your own file; it approves nothing. The makers' data, the rules of your "
    "country and those who must sign come first."
)
"""The line that everything carries that could be acted on."""
LOCAL = (
    "Whether somebody licensed has to look at a change, and who signs for it, is a matter of local "
    "rules; ask before the work begins."
)
"""Who decides about a change."""

CARE: Mapping[str, str] = {
    "battery": (
        "Battery disconnected before anything is touched: negative cable off first, on last; rings "
        "and watches off, a spanner across a battery melts."
    ),
    "wires": (
        "Disconnect the battery before work on any wire; ring out every wire before power is "
        "applied."
    ),
    "fuel": (
        "A spark too small to see lights fuel vapour: tanks and lines closed, the place aired, an "
        "extinguisher in reach of a second person."
    ),
    "first power": (
        "Nothing is powered before ring-out and insulation sheets are signed. A supply with a "
        "limit stands in place of the battery; a second person stands at its switch, an "
        "extinguisher for electrical fires beside him. Smoke, smell, or a meter a fifth off: off "
        "at once, find it, then go on."
    ),
    "propeller": (
        "A propeller turns without warning. Before any of these rows: fuel off and lines drained, "
        "injectors and ignition coils unplugged, spark plugs out, magnetos grounded and checked "
        "to be, chocks in, nobody and nothing in its disc."
    ),
    "starter": (
        "START is pressed with the starter's cable off its post and its end wrapped, else the "
        "propeller turns; at whichever end it is off, the bare one is live while START is pressed."
    ),
    "field": (
        "The field last of all, and for seconds only: with the engine at rest it takes its full "
        "current and gets hot, and the magnetised rotor draws steel to it. Alternator output "
        "lead insulated."
    ),
    "crank": (
        "The engine must not start: fuel off, every ignition dead (magnetos grounded, coils and "
        "injectors unplugged), mixture closed. Chocks in, brakes held, tail tied down, the disc "
        "clear, one person at the master. A few seconds at a time; the starter's maker says how "
        "long it has to cool."
    ),
    "magneto leads": (
        "A cut, loose or unplugged lead, or a switch that has failed open, leaves a magneto live. "
        "Spark plug leads off before its wires are touched; then ring from its terminal to the "
        "frame: closed with the switch off, open with it on."
    ),
    "overvoltage": (
        "On the bench only: never raise the voltage of a bus with a box on it. The regulator or "
        "trip is out of the aircraft, or every other breaker is open and every box unplugged."
    ),
    "ring-out": (
        "Never a current, and never an insulation tester, into a wire that ends at a tank sender, "
        "in a place with fuel vapour, or on electronics."
    ),
    "shock": (
        "The tester's 250 V hurts and what it charges stays charged: nobody holds an end, a "
        "second person watches the far ends; after each reading let the tester discharge the "
        "wire, then short it to the frame before it is touched."
    ),
    "crimp": (
        "One bad crimp in a feed is a fire, one in a return a dead panel: the maker's own tool "
        "and die, a pull test first, no crimp that you would not pull at."
    ),
    "closing": (
        "Nothing here closes a zone. Before it is closed the builder has looked at everything on "
        "this list with it open, then a second person who did not do the work; what the flight or "
        "the engine depends on, and what your rules name, is looked at by whoever they name "
        "(inspector, licensed mechanic), who signs before the cover goes on."
    ),
    "in flight": (
        "For planning on the ground. In the air the aircraft's own emergency list counts, not "
        "these tables."
    ),
    "fire, engine needs electricity": (
        "Electrical fire: the aircraft's own emergency list comes first. This engine stops without "
        "electricity: master off may stop it. Which switch leaves the engine alive and takes the "
        "rest off is written there, and tried on the ground, before the first flight."
    ),
    "fire, engine runs without": (
        "Electrical fire: the aircraft's own emergency list comes first. This engine runs without "
        "electricity: everything off at the master, cabin heat off; if that ends it, nothing "
        "electrical is needed to fly by eye. Land."
    ),
    "fire, not known": (
        "Electrical fire: the aircraft's own emergency list comes first. The file does not say "
        "whether the engine stops without electricity (electrically-dependent:): find out before "
        "anybody reaches for a master."
    ),
    "fire, no engine": (
        "Electrical fire: the aircraft's own emergency list comes first. Everything off; nothing "
        "electrical is needed to fly by eye. Land."
    ),
    "reset": (
        "A breaker that opened in flight is reset once at most, after it has cooled, and only for "
        "something the flight depends on."
    ),
    "transmit": (
        "transmits only into its antenna or a dummy load, nobody near the antenna, no filler cap "
        "open near by."
    ),
    "heats": "burns skin within seconds: covers off, hands off, on for seconds only on the ground.",
    "moves": (
        "keep hands, tools and people clear of what it moves; somebody watches it, a hand at its "
        "breaker or at the master."
    ),
    "sounds": (
        "sounds as loud as it is made to: ears covered or away from it, everybody near told "
        "before; a second, no more."
    ),
    "flashes": (
        "do not look into it; the unit of a flash tube holds a high voltage for minutes after it "
        "is off."
    ),
    "lithium": (
        "A lithium battery that is crushed, overcharged, or charged below the least temperature "
        "of its maker can burn, and water alone does not put it out: its maker's charger, its "
        "management system, away from the aircraft while it is charged on the bench."
    ),
    "magneto": (
        "A magneto is live while its wire to the switch is open or unplugged, with the battery "
        "out, too: whoever turns the propeller takes it for live."
    ),
}
"""Subject → its caution."""

MEASURES = (
    (
        "A lead-acid battery gives over a thousand amperes into a dropped wrench, and hydrogen "
        "while it is charged: ventilate, no sparks, eye protection."
    ),
    (
        "No live work, no soldering and no switching near open tanks, lines or a float "
        "compartment with fuel in it; wires away from fuel lines, and above them; no return of "
        "current in vapour zones."
    ),
    (
        "Measured beats computed. Put an ammeter in the lead and write the value down with "
        "`basis: measured`; repeat the check."
    ),
    (
        "A breaker or fuse protects the wire, not the box behind it, and not against an arc that "
        "comes and goes (FAA tests, DOT/FAA/CT-TN94/55)."
    ),
    (
        "Anything that the engine needs to run, or that you need to land in cloud or at night, "
        "deserves a second person who checks the drawing and the work."
    ),
)
"""What holds for every aircraft and every job, beside the subjects of `CARE`."""

LIMITS = (
    (
        "Direct current in steady states. No ripple, no radio-frequency interference, no "
        "transients beyond inrush against the device curve."
    ),
    (
        "Wire heat holds for copper in still air, 0 to 60 000 ft as published, bundles to 40 "
        "wires, ±7 %. Beyond, the finding says so. A wire against a hot part, or in insulation, is "
        "hotter. Aluminium, battery cable and your own wire are counted to give off the same heat "
        "as the published wire of the gauge, the thinner insulation less."
    ),
    (
        "Voltage: at the conductor's own temperature; contacts, switches and devices by typical "
        "resistances unless given."
    ),
    (
        "Time-current curves: only one breaker class was read from an item record; the general "
        "class is from memory and wide (*assumed curve*). Enter your part's own "
        "(`device-classes:`). Curves hold at 25 °C: behind a hot panel a thermal device opens "
        "sooner, in the cold later; the rating and the inrush are judged in the warmth, the race "
        "with the wire at 25 °C."
    ),
    (
        "Battery data without the maker's curve are typical values; age, cold and a bad cell take "
        "more than any table says, and a yearly capacity test is the only proof. Charging is a "
        "simple law of the charge that is missing; surface charge, gassing and the warming of a "
        "battery in flight are left out: on the cold day it stays cold."
    ),
    (
        "A management system is taken to open at once at its cut-off voltage or limit, except "
        "while the starter turns, and not to close again. The alternator is taken to live on "
        "without a battery."
    ),
    (
        "Lengths: along the ways of your map with a share for the route; the wire you pulled "
        "knows better. Enter it."
    ),
    (
        "Failures take away sources, devices, switches, feeders, buses, connectors, ground points "
        "and ways (or their bundles), one at a time, and pairs that share a bundle, a connector, "
        "a ground or a feed; single wires and contacts are not listed one by one; nothing that "
        "comes and goes. Not put to the network: a shorted diode, a switch of the hand or the "
        "contact of a circuit that is stuck closed (contactors and relays of feeders are), a lamp "
        "that stays dark, two faults at once but for what they cut off. An alternator that runs "
        "away is told by *alternator-overvoltage*; one that no longer sees what it holds counts as "
        "off, and where nothing is said to take it off, voltages are not told."
    ),
    (
        "Thin wires (of a sense, a lamp, a light, or with a fuse under `wires:`) are shorted and "
        "judged like those of a circuit; what they carry is 0.25 A unless given, and no load of "
        "the network. That of a lamp is taken as joined to the supply of the box that it comes out "
        "of, as if nothing in there held a current back. Followed further are they only through a "
        "connector between harnesses. The core of a cable has no fuse, and fails on a bus."
    ),
    (
        "Magnetic sensors: currents in straight wires from place to place, switched loads only; "
        "magnets, steel and the way that a current takes through a metal structure are not "
        "counted. The interference test decides."
    ),
    (
        "A tick holds ends, gauge, type, colour, length and way of each of its wires (`for:`): "
        "terminals, clamps and a splice's make are not in it."
    ),
    (
        "A measured length (`cut`), current, battery, ground or switch resistance counts in "
        "everything else; the measured resistance of a wire (`ohms` in `build:`) is compared only."
    ),
    (
        "First power-up: diodes as valves with their usual drop (what they leak is not counted), "
        "a supply as a full battery; what the memory of a box draws stands in no label."
    ),
    ("Weight and moment are sums of lengths and table masses; a real weighing supersedes them."),
    (
        "A load cannot be put onto a spare core of a cable yet; `elec try` says which spare core "
        "would carry it."
    ),
    (
        "Structure: nothing is said about chafe, clamps, heat shields, lightning or "
        "crashworthiness; look and feel."
    ),
    (
        "Values marked *from memory* were not seen in the document and must be confirmed before "
        "anybody relies on them."
    ),
)

ANSWERS: Mapping[str, tuple[str, ...]] = {
    "add": (),
    "bench": (),
    "book": ("battery",),
    "buy": (),
    "check": (),
    "close": ("closing",),
    "compare": (),
    "done": ("closing",),
    "draw": ("battery",),
    "export": (),
    "failures": ("in flight", "fire", "reset"),
    "flight": ("in flight",),
    "issue": (),
    "live": ("battery",),
    "loads": ("in flight",),
    "measured": ("battery",),
    "new": (),
    "options": (),
    "pins": ("battery", "ring-out"),
    "show": ("battery",),
    "size": (),
    "spread": (),
    "try": (),
    "why": (),
    "wires": ("battery",),
}
"""Command → the subjects that its answer carries beside the advice; `fire` is that of the
aircraft."""
