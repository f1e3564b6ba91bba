"""Small systems of our own, and changes of them: some absurd, some only at an edge."""

from collections.abc import Sequence

FINCH = """\
system: {name: Finch, nominal: 14 V, ambient: 45 °C, ceiling: 11000 ft, wire: etfe-tin}
phases:
  start: {lasts: 12 s, engine: cranking}
  taxi: {lasts: 8 min, engine: 1300 rpm}
  cruise: {lasts: 90 min, engine: 2450 rpm}
sources:
  battery: {kind: lead-acid, place: nose, capacity: 17 Ah, rate: 20 h, resistance: 10 mΩ}
  alternator:
    {kind: alternator, place: nose, setpoint: 14.1 V, output: {1000 rpm: 9 A, 2500 rpm: 34 A},
     overvoltage-protection: yes, field-circuit: field}
buses:
  main: {place: desk, warning: 12.8 V, essential: yes}
feeders:
  - {name: battery cable, from: battery, to: main, contactor: master, limiter: 60 A, gauge: AWG 6}
  - {name: alternator cable, from: main, to: alternator, limiter: 50 A, gauge: AWG 6}
switches:
  master: {kind: contactor, place: nose, rating: 75 A}
  strobe: {place: desk, rating: 10 A}
  field: {place: desk, rating: 6 A}
grounds:
  post: {place: nose, kind: stud}
  block: {place: desk, kind: block, gauge: AWG 8}
equipment:
  com:
    place: desk
    essential: yes
    modes:
      listen: {draw: 0.4 A, on: always, basis: data sheet}
      talk: {draw: 2.5 A, on: {taxi: 10 %, cruise: 5 %}, basis: data sheet}
    minimum: 10.5 V
    connectors: {J1: {type: dsub-15, contacts: socket, pins: {1: power, 8: ground, 3: audio}}}
  strobe:
    {place: tail, draw: 28 W, on: taxi..cruise, basis: measured,
     inrush: {factor: 4, lasts: 50 ms}}
  regulator: {place: nose, draw: 2 A, on: taxi..cruise, shed: at once, basis: typical}
circuits:
  com: {bus: main, breaker: auto, feeds: com}
  strobe: {bus: main, breaker: auto, switch: strobe, feeds: strobe}
  field: {bus: main, breaker: 5 A, switch: field, feeds: regulator}
places: {nose: {ambient: 80 °C}, desk: {}, tail: {}}
ways:
  - {between: [nose, desk], length: 4 ft}
  - {between: [desk, tail], length: 13 ft, bundles: 2}
zones:
  aft: {places: [tail], closes: before the fabric}
"""


def changed(*pairs: tuple[str, str], of: str = FINCH) -> str:
    """The small system with changes; each old text must be there once."""
    for old, new in pairs:
        assert of.count(old) == 1, old
        of = of.replace(old, new)
    return of


ABSURD: Sequence[tuple[str, str, str]] = (
    ("2.5 A, on", "1e200 A, on", '"1e200 A" cannot be right here; 0.001 µA to 2 kA is read'),
    ("draw: 28 W", "draw: 9e9 W", "0.001 mW to 50 kW is read"),
    ("lasts: 90 min", "lasts: 9000 h", '"9000 h" cannot be right here; 1 ms to 72 h is read'),
    ("lasts: 90 min", "lasts: 4e8 h", "1 ms to 72 h is read"),
    ("ceiling: 11000 ft", "ceiling: 71000 ft", "up to 60000 ft is read"),
    ("{ambient: 80 °C}", "{ambient: 170 °C}", 'did you mean "170 °F"?'),
    ("{ambient: 80 °C}", "{ambient: -95 °C}", "-60 °C to 140 °C is read"),
    ("2500 rpm: 34 A", "2500 rpm: 1e308 A", "0.001 µA to 2 kA is read"),
    ("2500 rpm: 34 A", "2.5e9 rpm: 34 A", "up to 100000 rpm is read"),
    ("capacity: 17 Ah", "capacity: 17000 Ah", "0.1 Ah to 2000 Ah is read"),
    ("resistance: 10 mΩ", "resistance: 1e-30 Ω", "0.1 µΩ to 1000 MΩ is read"),
    ("nominal: 14 V", "nominal: 14 mV", "5 V to 60 V is read"),
    ("nominal: 14 V", "nominal: 140 V", "5 V to 60 V is read"),
    ("length: 13 ft", "length: 13 km", "no known unit"),
    ("length: 13 ft", "length: 13000 ft", "0.01 mm to 200 m is read"),
    ("factor: 4", "factor: 1e99", "0.01 to 1000 is read"),
    ("rating: 10 A", "rating: 1e-40 A", "0.001 µA to 2 kA is read"),
    ("limiter: 60 A", "limiter: 6e7 A", "0.001 µA to 2 kA is read"),
)
"""Old text, new text, and what is said of it at its line."""
