"""Whatever the builder writes, nothing lies on anything else; what has no room is cut and said."""

import random
from xml.etree import ElementTree as ET

import pytest

from elec.drawings.sheet import Sheet, Size
from elec.drawings.sheets.circuit import circuit
from elec.drawings.sheets.one_line import one_line
from elec.drawings.svg import to_svg
from tests.drawings import invented
from tests.drawings.inspect import inspect
from tests.drawings.test_connector import connector, record

SIZES: tuple[Size, ...] = ("A3", "A4", "Letter")


def only_cut(sheets: list[Sheet]) -> None:
    faults = [str(f) for s in sheets for f in inspect(s) if f.kind != "cut text"]
    assert faults == []
    for sheet in sheets:
        ET.fromstring(to_svg(sheet))  # noqa: S314  # our own text


@pytest.mark.parametrize("seed", range(12))
def test_one_line(seed: int) -> None:
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    only_cut(one_line(invented.messy(invented.random_system(seed, SIZES[seed % 3]), rnd)))


@pytest.mark.parametrize("seed", range(12))
def test_circuit(seed: int) -> None:
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    only_cut(circuit(invented.messy(invented.random_circuit(seed, SIZES[seed % 3]), rnd)))


@pytest.mark.parametrize("seed", range(8))
def test_connector(seed: int) -> None:
    rnd = random.Random(seed)  # noqa: S311  # not for secrets
    kinds = (("dsub-25", 0), ("rectangular", 7), ("circular", 19), ("dsub-hd-78", 0))
    name, pins = kinds[seed % 4]
    face = record(name, "socket", SIZES[seed % 3], pins)
    only_cut(connector(invented.messy(face, rnd)))
