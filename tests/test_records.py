"""Records of what is joined, sized and answered: nobody changes one, its fields are named."""

import importlib
import pkgutil

import msgspec

import elec

ROOMS = ("elec.check.", "elec.wiring.", "elec.sizing.", "elec.answers.")
CHANGED = {"elec.sizing.search.state.Work", "elec.answers.time.course.Course",
           "elec.answers.short.short_clearing._State"}  # fmt: skip
"""What a search or a course changes on its way."""


def _below(one: type[msgspec.Struct]) -> set[type[msgspec.Struct]]:
    return {one}.union(*map(_below, one.__subclasses__()))


def test_records_stay_as_they_are_and_their_fields_are_named() -> None:
    for module in pkgutil.walk_packages(elec.__path__, "elec."):
        if f"{module.name}.".startswith(ROOMS):
            importlib.import_module(module.name)
    records = {
        f"{one.__module__}.{one.__qualname__}": one
        for one in _below(msgspec.Struct)
        if f"{one.__module__}.".startswith(ROOMS)
    }
    assert len(records) > 100
    assert {n for n, one in records.items() if not one.__struct_config__.frozen} == CHANGED
    assert {n for n, one in records.items() if one.__match_args__} <= CHANGED
