"""Cautions and limits of the method, in plain words, as the book prints them."""

FIRST = (
    "This book is advice that a program computed from your own file. It approves nothing. The "
    "makers' data, the rules of your country and the people licensed to sign come first; where "
    "they say otherwise, they are right."
)

CAUTIONS = (
    (
        "Disconnect the battery before you touch the wiring: negative cable off first, on last. "
        "Take off rings and watches; a spanner across a battery melts."
    ),
    (
        "A lead-acid battery gives off hydrogen while it is charged: ventilate, no sparks, eye "
        "protection. A lithium battery that is crushed, overcharged or charged below 0 °C can burn "
        "and cannot be put out with water alone; use its maker's charger and its management "
        "system."
    ),
    (
        "Fuel vapour burns from a spark too small to see. No live work, no soldering and no "
        "switching near open tanks, lines or a float compartment with fuel in it. Keep wires away "
        "from fuel lines, and above them."
    ),
    (
        "Measured beats computed. Put an ammeter in the lead and write the value down with `basis: "
        "measured`; repeat the check."
    ),
    (
        "First power on: battery replaced by a supply with a current limit, one breaker after the "
        "other, boxes plugged in last. Someone with an extinguisher for electrical fires stands "
        "by."
    ),
    (
        "Electrical fire: everything off at the master; if it goes on, nothing electrical is "
        "needed to fly by eye. Land. Do not reset a breaker that opened in flight, except once for "
        "something the flight depends on."
    ),
    (
        "A breaker or fuse protects the wire, not the box behind it, and not against an arc that "
        "comes and goes."
    ),
    (
        "Keep hands and people clear of the propeller whenever ignition, starter or battery can be "
        "alive."
    ),
    (
        "Anything that the engine needs to run, or that you need to land in cloud or at night, "
        "deserves a second person who checks the drawing and the work."
    ),
)

LIMITS = (
    (
        "Direct current in steady states. No ripple, no radio interference, no transients but "
        "inrush against the curve of the device."
    ),
    (
        "Wire heat: copper wire in still air, one gauge and one ambient at a time, published "
        "curves to 40 wires a bundle and 60 000 ft; ±7 %. A wire against a hot part, or in "
        "insulation, is hotter."
    ),
    (
        "Voltage: at the conductor's own temperature; contacts, switches and devices by typical "
        "resistances unless given."
    ),
    (
        "Trip times: class curves unless your part's own curve is given; those marked from memory "
        "are wide."
    ),
    (
        "Battery: typical values where the maker's are not given. Age, cold and a bad cell take "
        "more than any table says; a yearly capacity test is the only proof."
    ),
    (
        "Lengths: along the ways of your map with a share for the route; the wire you pulled knows "
        "better. Enter it."
    ),
    (
        "Failures: one thing at a time, and pairs that share a bundle, a connector, a ground or a "
        "feed; nothing that comes and goes, and no two faults that have nothing in common."
    ),
    (
        "Structure: nothing is said about chafe, clamps, heat shields, lightning or "
        "crashworthiness; look and feel."
    ),
)
