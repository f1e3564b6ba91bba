"""The cases that are solved: each load of an exclusive group is on in one of them."""

from elec.answers.base.points import points
from elec.study import Study
from elec.wiring.cases import MOST_CHOICES, alternatives, cases
from tests.answers.helper import small

SYSTEM = """
system: {{name: Winches, nominal: 14 V, ambient: 25 °C, conditions: [day], return: airframe}}
phases:
  cruise: {{lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {{kind: lead-acid, place: front, capacity: 25 Ah, rate: 1 h, resistance: 8 mΩ}}
buses:
  main: {{place: front}}
  rear: {{place: back}}
feeders:
  - {{name: battery feed, from: battery, to: main, limiter: 100 A, gauge: AWG 2}}
  - {{name: rear feed, from: main, to: rear, breaker: 40 A, gauge: AWG 8}}
grounds:
  stud: {{place: front}}
equipment:
{equipment}
circuits:
{circuits}
places: {{front: {{ambient: 25 °C}}, back: {{ambient: 25 °C}}}}
ways:
  - {{between: [front, back], length: 3 m}}
"""


def _study(*loads: tuple[str, str, str]) -> Study:
    """Loads with a draw and a group each; only the first hangs on the bus in front."""
    equipment = "\n".join(
        f"  {name}: {{place: back, draw: {draw}, on: always, exclusive: {group}}}"
        for name, draw, group in loads
    )
    circuits = "\n".join(
        f"  {name}-feed: {{bus: {'rear' if i else 'main'}, breaker: 30 A, feeds: {name}}}"
        for i, (name, _, _) in enumerate(loads)
    )
    return small(SYSTEM.format(equipment=equipment, circuits=circuits))


def test_the_smaller_load_is_put_to_the_network_too() -> None:
    study = _study(("hoist", "10 A", "winches"), ("winch", "9 A", "winches"))
    solved = points(study)
    amps = abs(solved.current_a("rear feed/1"))
    assert max(amps[solved.select(count="momentary")]) > 8.99  # 9 A, constant at any voltage
    both = abs(solved.current_a("battery feed/1"))[solved.select(count="momentary")]
    assert max(both) < 10.01  # never the two together


def test_every_choice_of_two_groups() -> None:
    study = _study(
        ("a", "10 A", "first"),
        ("b", "9 A", "first"),
        ("c", "8 A", "second"),
        ("d", "7 A", "second"),
    )
    assert set(alternatives(study, "cruise", "day")) == {(), ("b",), ("d",), ("b", "d")}
    titles = {case.title for case in cases(study) if case.count == "momentary"}
    assert "cruise, day, all well, b and d on" in titles


def test_many_groups_stay_few_cases_and_leave_nobody_out() -> None:
    loads = [(f"{g}{i}", f"{9 - i} A", g) for g in "klmn" for i in range(3)]
    study = _study(*loads)
    found = alternatives(study, "cruise", "day")
    assert len(found) <= MOST_CHOICES
    assert {name for names in found for name in names} == {n for n, _, _ in loads if n[1] != "0"}


def test_forty_groups_are_no_more_cases_than_one() -> None:
    """Their choices would be 2⁴⁰: none is listed before it is known that they are few."""
    loads = [(f"{one}{g}", "1 A", f"g{g}") for g in range(40) for one in ("a", "b")]
    found = alternatives(_study(*loads), "cruise", "day")
    assert found == ((), tuple(f"b{g}" for g in range(40)))
