"""A hole names a bundle of its own way."""

from pathlib import Path

from elec.read import read

TEXT = """
system: {name: Wren, nominal: 14 V}
places: {nose: {station: 0 in}, tail: {station: 100 in}}
multicores: {spare: {type: 2-core AWG 20, from: nose, to: tail, spare: yes}}
ways:
  - between: [nose, tail]
    bundled: {left: [spare], right: rest}
    holes: [{diameter: 20 mm, bundle: lefd}]
"""


def test_a_hole_of_no_bundle_is_a_mistake(tmp_path: Path) -> None:
    file = tmp_path / "wren.yaml"
    file.write_text(TEXT, encoding="utf-8")
    (mistake,) = read(file).mistakes
    assert mistake.message == 'no bundle of this way is called "lefd"; did you mean "left"?'
