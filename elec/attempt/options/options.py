"""Alternatives put side by side: each text is changed, read, computed and checked.

In: a system's files, a subject. Out: `Beside`: the system as it is and every option with its
measures, or why it cannot be built.
"""

from collections.abc import Callable, Iterable, Mapping
from copy import copy
from pathlib import Path as File

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.why.why_names import near as near_names
from elec.attempt.asked import Unclear
from elec.attempt.attempt import begun
from elec.attempt.options.dominated import dominating
from elec.attempt.options.measures import Measures, measures
from elec.attempt.options.offered import Offer, offers
from elec.attempt.options.whole import whole_offers
from elec.attempt.plan import Edit
from elec.check import ids
from elec.read.draft import Path
from elec.read.edit import CannotEdit, Edits, Value
from elec.study import Study
from elec.wiring.chains import chains

AS_BUILT = "as it is"
Progress = Callable[[int, int, str], None]
"""Told before each one: its number, how many there are, its title."""


class Option(Struct, frozen=True, kw_only=True):
    """One alternative, computed; or why it cannot be."""

    title: str
    measures: Measures | None
    why_not: str = ""
    assumes: str = ""
    diff: str = ""
    by: tuple[int, ...] = ()
    """The options that dominate it, by their places in the list."""


class Beside(Struct, frozen=True, kw_only=True):
    """The system as it is, first, and its alternatives."""

    study: Study
    subject: str
    """A circuit or feeder; empty for the whole system."""
    options: tuple[Option, ...]


def beside(path: str | File, subject: str | None, tell: Progress) -> Beside:
    """Alternatives side by side.

    Args:
        path: the system.
        subject: a circuit, a load or a feeder; None: the whole system.
        tell: hears of each before it is computed.

    Raises:
        Mistaken: the system as it is has mistakes.
        Unclear: the subject is none that has alternatives.
    """
    edits = begun(path)
    study = Study(edits.reading().good())
    name = _chain_of(study, edits, subject) if subject is not None else ""
    every = offers(study, edits, name) if name else whole_offers(study, edits)
    tell(1, len(every) + 1, AS_BUILT)
    made = [Option(title=AS_BUILT, measures=measures(study, name))]
    for n, offer in enumerate(every, 2):
        tell(n, len(every) + 1, offer.title)
        made.append(_tried(edits, offer, name))
    over = dominating([one.measures for one in made])
    return Beside(
        study=study,
        subject=name,
        options=tuple(replace(one, by=by) for one, by in zip(made, over, strict=True)),
    )


def _chain_of(study: Study, edits: Edits, subject: str) -> str:
    """The circuit or feeder that a subject means."""
    document, known = study.document, chains(study)
    chain = known.by_name.get(subject)
    if chain is None and subject in document.equipment:
        fed = known.feeds.get(subject, ())
        if not fed:
            raise Unclear(f"no circuit feeds {subject}, so there is nothing to choose")
        if len(fed) > 1:
            raise Unclear(
                f"{subject} is fed by {len(fed)} circuits; ask about one: {', '.join(fed)}"
            )
        chain = known.by_name[fed[0]]
    if chain is None:
        found = near_names(study, subject, ids())
        meant = f"; did you mean {' or '.join(found)}?" if found else "."
        raise Unclear(
            f'There is no circuit, load or feeder "{subject}"{meant} Without a name the whole '
            "system is asked about."
        )
    if chain.kind not in ("circuit", "feeder"):
        raise Unclear(f"{subject} is a {chain.kind}; alternatives are for circuits and feeders")
    if edits.get(chain.path) is None:
        raise Unclear(
            f"{subject} is made of what another entry says (a coil, a bridge); its own keys stand "
            "there"
        )
    return chain.name


def _tried(before: Edits, offer: Offer, name: str) -> Option:
    """The changed text, computed; mistakes and what the editor refuses say why it cannot be."""
    option = Option(title=offer.title, measures=None, assumes=_shared(before, offer))
    try:
        study, diff = changed_by(before, offer.edits)
    except Unclear as error:
        return replace(option, why_not=str(error))
    if name not in ("", *chains(study).by_name):
        return replace(option, why_not=f"{name} is not there any more")
    return replace(option, measures=measures(study, name), diff=diff)


def _shared(edits: Edits, offer: Offer) -> str:
    """What it takes for granted, and which entries go with it since they are like this one."""
    words = [offer.assumes] if offer.assumes else []
    paths = {edit.path[:2] for edit in offer.edits if len(edit.path) > 2}
    if len(paths) == 1:
        section, name = next(iter(paths))
        entries = edits.get((section,))
        like = [
            key
            for key, one in (entries.items() if isinstance(entries, Mapping) else ())
            if isinstance(one, Mapping) and one.get("like") == name
        ]
        if like:
            words.append(f"{', '.join(like)} like it, so changed, too")
    return "; ".join(words)


def changed_by(before: Edits, every: Iterable[Edit]) -> tuple[Study, str]:
    """The system with some edits made in its text, and the lines that differ.

    Args:
        before: its text, which stays as it is.
        every: the edits.

    Raises:
        Unclear: the editor cannot, or the reader finds mistakes.
    """
    edits = copy(before)  # it replaces what it holds, and changes none of it
    puts: dict[Path, Value] = {}
    try:
        for edit in every:
            if edit.value is not None and not _is_new(edits, edit):
                puts[edit.path] = edit.value
        edits.set_all(puts)
        for edit in every:
            if edit.value is not None and edit.path not in puts:
                edits.add(str(edit.path[1]), edit.value, to=str(edit.path[0]))
        for edit in every:
            if edit.value is None:
                edits.remove(edit.path)
    except CannotEdit as error:
        raise Unclear(str(error)) from None
    found = edits.reading()
    if found.system is None or found.mistakes:
        raise Unclear("; ".join(_plain(one.message) for one in found.mistakes[:2]))
    return Study(found.system), edits.diff()


def _plain(message: str) -> str:
    return " ".join(message.split())


def _is_new(edits: Edits, edit: Edit) -> bool:
    """Whether it is an entry of a section that is not there yet."""
    return len(edit.path) == 2 and isinstance(edit.path[1], str) and edits.get(edit.path) is None
