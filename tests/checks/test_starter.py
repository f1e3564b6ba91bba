"""What `elec new` writes passes its own check."""

from pathlib import Path

from elec.check import run
from elec.finding import Verdict
from elec.read import read
from elec.read.starter import starter
from elec.study import Study


def test_the_starter_fails_nothing_and_leaves_nothing_open(tmp_path: Path) -> None:
    path = tmp_path / "plane.yaml"
    path.write_text(starter("Plane"), encoding="utf-8")
    system = read(str(path)).system
    assert system is not None
    found = run(Study(system))
    assert not [f for f in found if f.verdict in (Verdict.FAIL, Verdict.CANNOT_TELL)]
    assert len([f for f in found if f.verdict is Verdict.ADVISE]) <= 3
