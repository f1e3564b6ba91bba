"""A wire that ends on a stud is as thick as the thinnest of which rings are made."""

from pathlib import Path
from shutil import copytree

import pytest

from elec.read import read
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from tests.systems import SYSTEMS


@pytest.mark.parametrize(
    ("stud", "awg", "why"),
    [
        ("stud: no-10, ", "22", "no ring of a thinner gauge is made for panel ground block"),
        ("", "24", "least gauge for strength"),  # nobody says what it goes on
    ],
)
def test_a_thin_wire_on_a_stud(tmp_path: Path, stud: str, awg: str, why: str) -> None:
    folder = tmp_path / "yarrow"
    copytree(SYSTEMS / "yarrow", folder)
    text = (folder / "sources.yaml").read_text(encoding="utf-8")
    assert text.count("stud: no-10, ") == 1
    (folder / "sources.yaml").write_text(text.replace("stud: no-10, ", stud), encoding="utf-8")
    system = read(folder).system
    assert system is not None
    study = Study(system)
    (gauge,) = [
        sizing(study).gauges[wire.id]
        for chain in chains(study).of("wire")
        for wire in chain.conductors()
        if wire.a.name == "pilot-stick" and wire.b.name == "panel-block"
    ]
    assert (gauge.awg, gauge.decided) == (awg, why)
