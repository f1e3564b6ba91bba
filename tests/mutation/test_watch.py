"""Which lines of a folder a test comes past."""

from elec.physics import wire
from tests.mutation.mutants import ROOT
from tests.mutation.watch import watch

FILE = "elec/physics/wire.py"


def test_lines_are_seen_each_time_anew_and_only_inside() -> None:
    watched = watch([ROOT / "elec" / "physics"])
    assert "elec.physics.wire" in watched.modules
    found = []
    for length_in in (2.0, 5.0, 2.0):
        with watched as lines:
            wire.mark_count(length_in=length_in, end_in=3, every_in=15)
        wire.mark_count(length_in=40.0, end_in=3, every_in=15)
        found.append(lines[FILE])
    watched.close()
    assert found[0] == found[2]
    assert found[0] != found[1]
    assert found[0]
