"""Every sentence that keeps people from harm, in one place.

Terminal, pages, sheets and files ask here; docs/limits.md is written from here, too.
"""

from collections.abc import Mapping

CARE: Mapping[str, str] = {
    "battery": (
        "Battery disconnected before anything is touched: negative cable off first, on last; rings "
        "and watches off, a spanner across a battery melts."
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
}
"""Subject → its caution."""
