"""Dead ends of a network: left out, they change no current; nodes asked for stay joined.

A current needs a closed way (Kirchhoff's current law), so what hangs on one node carries none.
"""

from elec.network.netlist import Branch, Netlist


def _netlist() -> Netlist:
    """A battery on a bus, a loop of two wires to a second bus, a spur of two wires from there."""
    ways = ("plus bus", "bus second", "bus second", "second spur", "spur tip", "second other")
    ends = [way.split() for way in ways]
    return Netlist(
        reference="ground",
        resistors=tuple(Branch(name=str(n), a=a, b=b) for n, (a, b) in enumerate(ends)),
        batteries=(Branch(name="main", a="plus", b="ground"),),
    )


def test_a_spur_is_left_out_and_a_loop_is_not() -> None:
    assert _netlist().live_rows(()) == [0, 1, 2]


def test_the_way_to_a_node_that_is_asked_for_stays() -> None:
    assert _netlist().live_rows(("tip",)) == [0, 1, 2, 3, 4]
    assert _netlist().live_rows(("other",)) == [0, 1, 2, 5]


def test_a_wire_that_only_the_battery_holds_goes() -> None:
    netlist = Netlist(
        reference="ground",
        resistors=(Branch(name="0", a="plus", b="far"), Branch(name="1", a="apart", b="alone")),
        batteries=(Branch(name="main", a="plus", b="ground"),),
    )
    assert netlist.live_rows(()) == []
    assert netlist.live_rows(("apart", "alone")) == [1]
