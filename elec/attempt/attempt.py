"""Try a change: read the changed text, run the checks before and after, and keep both.

In: a system's files, what is asked. Out: `Attempt`, or the mistakes that the change makes, in the
reader's own words.
"""

from collections.abc import Iterable, Mapping
from pathlib import Path as File

from elec.attempt.asked import AskedChange, Unclear
from elec.attempt.compared import Compared, compared
from elec.attempt.plan import ChangePlan, Edit, plan
from elec.finding import Mistake, Mistaken
from elec.model.system import System
from elec.read.draft import dotted
from elec.read.edit import CannotEdit, Edits
from elec.study import Study


class Attempt(Compared, frozen=True, kw_only=True):
    """A system before and after a change."""

    plan: ChangePlan
    diff: str
    edits: Edits

    @property
    def circuits(self) -> tuple[str, ...]:
        """The circuits that the change is about and that are there after it."""
        there = self.after.document.circuits
        return tuple(name for name in self.plan.circuits if name in there)


def attempt(path: str | File, every: Iterable[AskedChange], *, deep: bool = False) -> Attempt:
    """Try a change; nothing is written.

    Args:
        path: a system's file or folder.
        every: what is asked.
        deep: whether checks that follow whole flights through time are asked, too.

    Raises:
        Mistaken: the system as it is has mistakes.
        Unclear: what is asked names something that does not exist, or makes a mistake in the
            text; the message is what the reader says of it, under the option that it came from.
    """
    edits = begun(path)
    before = Study(edits.reading().good())
    planned = plan(before, every)
    after = Study(changed(edits, planned, before.system))
    found = compared(before, after, deep=deep)
    return Attempt(
        before=before,
        after=after,
        findings=found.findings,
        findings_before=found.findings_before,
        changes=found.changes,
        plan=planned,
        diff=edits.diff(),
        edits=edits,
    )


def begun(path: str | File) -> Edits:
    """The system's files, ready to be changed in memory.

    Raises:
        Mistaken: they cannot be read.
    """
    from elec.read import read

    try:
        return Edits.of(path)
    except CannotEdit:
        found = read(path)
        raise Mistaken(found.mistakes, found.summary()) from None


def changed(edits: Edits, planned: ChangePlan, before: System) -> System:
    """The system with a plan carried out in the text.

    Raises:
        Unclear: the editor cannot, or the reader finds mistakes.
    """
    for edit in planned.edits:
        try:
            _carry_out(edits, edit)
        except CannotEdit as error:
            raise Unclear(str(error)) from None
    found = edits.reading()
    if found.system is None or found.mistakes:
        raise Unclear("\n".join(_said(found.mistakes, planned, before)))
    return found.system


def _carry_out(edits: Edits, edit: Edit) -> None:
    path, value = edit.path, edit.value
    if value is None:
        edits.remove(path)
    elif len(path) == 2 and isinstance(path[1], str) and edits.get(path) is None:
        edits.add(path[1], value, to=str(path[0]), comment=edit.comment)
    else:
        edits.set(path, value)


def _said(mistakes: Iterable[Mistake], planned: ChangePlan, before: System) -> list[str]:
    """Mistakes as the builder meets them: by the option, else where they stand in his file."""
    options = {dotted(path): option for path, option in planned.given.items()}
    places = {dotted(path): str(before.where(*path)) for path in before.places}
    lines = []
    for mistake in mistakes:
        path = mistake.place.path
        option = _above(path, options)
        if option:
            lines.append(f"{option}: {mistake.message}")
        else:
            where = places.get(path) or mistake.place.file
            lines.append(f"{where}: {path}: {mistake.message}" if path else f"{mistake}")
    gone = [name for name in planned.gone if any(f'"{name}"' in line for line in lines)]
    if gone:
        lines.insert(0, f"{gone[0]} cannot go alone; others refer to it:")
    return lines


def _above(path: str, options: Mapping[str, str]) -> str:
    """The option whose value a path is, or lies in."""
    while path:
        if path in options:
            return options[path]
        path = path.rpartition(".")[0]
    return ""
