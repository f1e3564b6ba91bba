"""The command `elec try` (a keyword of the language cannot name a file's function)."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from elec.cli.common import Print, Problem, deliver, options_of, printing, study_of

if TYPE_CHECKING:
    from elec.attempt.asked import AskedChange

FAILED = 1

_BEGINS = ("add", "change", "remove", "set_")
"""Options that begin something new; the others say more about what was begun last."""
_SAYS: Mapping[str, tuple[str, str, str]] = {
    # parameter → (key of the file, how its text is read, help)
    "draw": ("draw", "value", "What it draws: 2.5A, 17W or 5ohm; of what pulses the average."),
    "peak": ("peak", "value", "The most it takes, where it flashes, sounds or pulses."),
    "duty": ("duty", "value", "The share of the time that it takes its peak."),
    "place": ("place", "text", "Where it sits."),
    "bus": ("bus", "text", "The bus that feeds it, by a circuit of its own."),
    "circuit": ("circuit", "text", "A circuit that is there, to join; or the name of the new one."),
    "on": ("on", "on", 'When: taxi..approach, "taxi, climb", "cruise: 10 %". Else always.'),
    "when": ("when", "text", "Only by day or only by night."),
    "switch": ("switch", "text", "Its switch, or none."),
    "breaker": ("breaker", "value", "auto, or its rating."),
    "fuse": ("fuse", "value", "auto, or its rating."),
    "gauge": ("gauge", "value", "Its wire; else chosen."),
    "ground": ("ground-point", "text", "The ground that it returns to; else the nearest."),
    "via": ("via", "names", "Places that its wires pass, in order."),
    "through": ("through", "text", "A connector between harnesses: left-plug, or left-plug:A,B."),
    "length": ("length", "value", "Length of its run, when measured."),
    "inrush": ("inrush", "inrush", 'At switch-on: "8 x for 20 ms" or "30A for 80ms".'),
    "character": ("character", "text", "electronic, lamp, motor, heater, inductive or pulsed."),
    "minimum": ("minimum", "value", "The lowest voltage it works at."),
    "essential": ("essential", "flag", "Needed to end the flight safely."),
    "shed": ("shed", "value", 'When it is shed: "at once", never, or a time.'),
    "basis": ("basis", "text", 'Where the current comes from: "data sheet", measured, …'),
    "title": ("name", "text", "Its text for print."),
}


class _InOrder(click.Command):
    """Hands on what was asked in the order in which it was written."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Note each option with its value, in order, and go on as usual."""
        values, _, order = self.make_parser(ctx).parse_args(args=list(args))
        left = {name: list(v) for name, v in values.items() if isinstance(v, list)}
        ctx.meta["in order"] = [
            (str(param.name), left[param.name].pop(0) if param.name in left else values[param.name])
            for param in order
            if param.name in (*_BEGINS, *_SAYS)
        ]
        return super().parse_args(ctx, args)


def _said(command: Any) -> Any:
    """Give a command the options that say more about a load."""
    for name, (_, reading, text) in reversed(list(_SAYS.items())):
        names = ("--when", "--condition") if name == "when" else (f"--{name}",)
        if reading == "flag":
            command = click.option(*names, name, flag_value="yes", multiple=True, help=text)(
                command
            )
        else:
            command = click.option(*names, name, multiple=True, help=text)(command)
    return command


@click.command(
    "try", cls=_InOrder, short_help="What a new or changed load would do, before you do it."
)
@click.argument("system", required=False)
@click.option("--add", multiple=True, metavar="NAME", help="A new load; what follows describes it.")
@click.option("--change", multiple=True, metavar="NAME", help="A load that is there, changed.")
@click.option("--remove", multiple=True, metavar="NAME", help="A load, or a path, taken out.")
@click.option("--set", "set_", multiple=True, metavar="PATH=VALUE", help="Any value of the file.")
@_said
@click.option(
    "--room", metavar="NAME", help="How much more a bus, source, feeder, circuit or place takes."
)
@click.option("--write", is_flag=True, help="Write it into the files.")
@click.option("--deep", is_flag=True, help="Also follow whole flights through time; takes longer.")
@printing
@click.pass_context
def attempt(
    context: click.Context,
    /,
    system: str | None,
    *,
    room: str | None,
    write: bool,
    deep: bool,
    how: Print,
    **rest: Any,
) -> int:
    """What a new, changed or removed load does to everything, without touching the file.

    \b
      elec try SYSTEM --add belly-beacon --draw 17W --place belly --bus main --on taxi..approach
      elec try SYSTEM --change landing-light --draw 45W
      elec try SYSTEM --remove bilge-pump
      elec try SYSTEM --set circuits.beacon.gauge="AWG 20" --set ways.panel-to-belly.length=6ft
      elec try SYSTEM --room main

    Device, wire, run and marks; the alternator's margin and the battery before and after; every
    verdict that changes; the lines that --write would put into the files. Several at once are one
    change. Exit status 1 when something fails that does not fail now.
    """  # noqa: D301 - the mark keeps click from filling these lines
    del rest
    given: list[tuple[str, str]] = context.meta["in order"]
    if room is not None:
        buses = [text for option, text in given if option == "bus"]
        if len(given) != len(buses) or len(buses) > 1 or write:
            raise Problem("--room asks how much more fits; ask it alone (for a place with --bus)")
        return _room(system, room, buses[0] if buses else None, how)
    from elec.attempt.asked import Unclear

    try:
        return _attempt(system, list(_asked(given)), write=write, deep=deep, how=how)
    except Unclear as error:
        raise Problem(str(error)) from None


def _attempt(
    system: str | None, asked: "Sequence[AskedChange]", *, write: bool, deep: bool, how: Print
) -> int:
    from elec.attempt.attempt import attempt as tried
    from elec.attempt.ways_out import stuck_circuits, ways_out
    from elec.cli.common import refused, the_system
    from elec.finding import Mistaken
    from elec.pages.attempt.page import attempt_answer
    from elec.read.edit import CannotEdit, CannotSave

    if not asked:
        raise Problem(
            "Say what to try: --add NAME --draw 17W --place PLACE --bus BUS, --change NAME, "
            "--remove NAME, --set PATH=VALUE, or --room BUS"
        )
    path = the_system(system)
    try:
        found = tried(path, asked, deep=deep)
    except Mistaken as error:
        raise refused(error.mistakes, error.summary, how) from None
    written: tuple[str, ...] = ()
    if write:
        try:
            written = tuple(file.name for file in found.edits.write())
        except (CannotEdit, CannotSave) as error:
            raise Problem(str(error)) from None
    options = options_of(found.after, how, system)

    looked = found.fails and not write
    section = attempt_answer(
        found,
        written=written,
        out=ways_out(path, asked, found) if looked else (),
        stuck=stuck_circuits(found) if looked else (),
    )
    from msgspec.structs import replace

    deliver(section, how, options if write else replace(options, again=""))
    return FAILED if found.fails else 0


def _room(system: str | None, name: str, bus: str | None, how: Print) -> int:
    from elec.attempt.asked import Unclear
    from elec.attempt.cores import room_of_core
    from elec.attempt.room import room
    from elec.pages.attempt.room import room_answer

    study = study_of(system, how)
    try:
        found = room_of_core(study, name) or room(study, name, bus)
    except Unclear as error:
        raise Problem(str(error)) from None
    options = options_of(study, how, system)

    from msgspec.structs import replace

    deliver(room_answer(study, found), how, replace(options, again=""))
    return 0


def _asked(given: Sequence[tuple[str, str]]) -> "Iterator[AskedChange]":
    """What was asked, each with what was said of it."""
    from elec.attempt.asked import AskedChange, Unclear

    groups: list[tuple[str, str, dict[str, Any]]] = []
    for option, text in given:
        if option in _BEGINS:
            groups.append((option.rstrip("_"), text, {}))
        elif not groups or groups[-1][0] not in ("add", "change"):
            raise Unclear(
                f"--{option} says something about a load; put --add NAME or --change NAME before it"
            )
        else:
            key, reading, _ = _SAYS[option]
            if key in groups[-1][2]:
                raise Unclear(f"--{option} is given twice for {groups[-1][1]}")
            groups[-1][2][key] = _read(reading, text)
    for kind, name, keys in groups:
        if kind == "set":
            path, sign, value = name.partition("=")
            if not sign:
                raise Unclear(f"--set {name}: write --set PATH=VALUE, such as "
                              '--set circuits.beacon.gauge="AWG 20"')  # fmt: skip
            read = _read("value", value) if value.strip() else None
            yield AskedChange(kind="set", name=path.strip(), keys={}, value=read)
        else:
            yield AskedChange(kind=kind, name=name, keys=keys)  # type: ignore[arg-type]


def _read(reading: str, text: str) -> Any:
    from elec.attempt import asked

    doors: Mapping[str, Any] = {
        "on": asked.on_of,
        "names": asked.names_of,
        "inrush": asked.inrush_of,
        "value": asked.value_of,
    }
    return doors[reading](text) if reading in doors else text.strip()
