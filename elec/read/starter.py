"""The text that `elec new` writes: a small system without a mistake, to be changed line by line."""

from elec.standards import default, table

_TEXT = """\
# A small electrical system to begin with. Change it line by line; run elec check after each change.
# Every quantity carries its unit. The values are typical, not those of your parts: measure them.

system:
  name: {name}
  nominal: 14 V
  return: wired              # or airframe, where a metal structure carries the current back
  electrically-dependent: no # yes where the engine stops without electricity
  ambient: {ambient:g} °C             # the warmest air around wires, parked in the sun
  spare-fuses: {{20 A: 1}}     # carried where you reach them; {{}} where none is

phases:                      # what a flight is made of, in order
  start: {{lasts: 15 s, engine: cranking}}
  taxi: {{lasts: 10 min, engine: 1200 rpm}}
  cruise: {{lasts: 2 h, engine: 2400 rpm}}

sources:
  battery: {{kind: lead-acid, place: engine, capacity: 18 Ah, rate: 20 h, resistance: 11 mΩ}}
  alternator:
    {{kind: alternator, place: engine, setpoint: {setpoint:g} V, overvoltage-protection: yes,
     output: {{1000 rpm: 12 A, 2400 rpm: 16 A}},
     field-circuit: field, field-wire: inside, sense: inside}}  # or what this wire begins at

buses:
  main: {{place: panel, warning: {warning:g} V}}

feeders:                     # heavy wires from the sources to the bus
  - {{from: battery, to: main, contactor: master, gauge: AWG 6,
     limiter: {{rating: auto, stub: 4 in}}}}   # stub: the bare wire from the post to it
  - {{from: main, to: alternator, fuse: auto, gauge: AWG 6}} # a third of battery's limiter

switches:                    # what their contacts may carry, direct current
  master:                    # its coil hangs on its own post; a switch takes it to ground
    {{kind: contactor, rating: 80 A,
     coil: {{draw: 0.8 A, switch: battery-on, suppressor: diode, basis: typical}}}}
  battery-on: {{name: MASTER, place: panel, rating: 5 A}}
  beacon: {{rating: 10 A}}
  field: {{rating: 10 A}}

grounds:                     # where return wires end; the first one is the battery's
  engine-block: {{place: engine}}
  panel-block: {{place: panel, kind: block, gauge: AWG 8}}

equipment:                   # by its unit A stays constant, or W, or Ω; what flashes has a peak
  radio: {{place: panel, draw: 1.5 A, on: always, essential: yes, basis: typical}}
  beacon: {{place: belly, draw: 12 W, on: taxi..cruise, basis: typical, peak: 30 W}}
  regulator: {{place: engine, draw: 2 A, on: taxi..cruise, basis: typical}}

circuits:                    # auto: the rating is chosen, and so is every gauge that is not given
  radio: {{bus: main, breaker: auto, feeds: radio}}
  beacon: {{bus: main, breaker: auto, switch: beacon, feeds: beacon}}
  field: {{bus: main, breaker: 5 A, switch: field, feeds: regulator}}

places: {{engine: {{ambient: {engine:g} °C}}, panel: {{reach: yes}}, belly: {{}}}} # reach in flight
zones: {{under-floor: {{places: [belly], closes: before the floor goes in}}}} # what closes together

ways:                        # paths that wires lie in, measured with a string
  - {{between: [engine, panel], length: 3 ft}}
  - {{between: [panel, belly], length: 5 ft 6 in}}
"""


def starter(name: str = "My aeroplane") -> str:
    """The text of a new file.

    Args:
        name: what the aeroplane is called.

    Returns:
        YAML that `read` accepts as it is.

    >>> starter("Foxglove").splitlines()[4]
    '  name: Foxglove'
    """
    plain = name.replace("-", "").replace(" ", "").isalnum() and name == name.strip()
    bare = plain and name[:1].isalpha() and name.casefold() != "null"
    return _TEXT.format(
        name=name if bare else "'" + name.replace("'", "''") + "'",
        ambient=default("ambient").value,
        engine=default("engine-ambient").value,
        setpoint=default("alternator-setpoint-14").value,
        warning=table("elec/limits").value("value", key="low-voltage-14"),
    )
