"""Does a short in one wire take essential loads that the wire does not even feed?"""

from collections.abc import Iterator

from elec.answers.failures.changing_over import hands
from elec.answers.failures.far_end_fits import far_end_fits
from elec.answers.short.bare import bare, without
from elec.answers.short.short_managed import CutOff
from elec.answers.short.shorts import Short, Shorted, shorts
from elec.check import check
from elec.checks.answer import amps, answer, listed, sentence
from elec.checks.short._words import cut_remedy, cut_words, device_words, opening_words, where_words
from elec.finding import Consequence, Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains


@check(
    "A short in one wire takes no essential load but those that it alone feeds",
    sources=(
        Cite("cfr_23_64", "23.2525(b)", "seen"),
        Cite("ac4313", "11-47", "seen"),
        Cite("elec", "shorts with every source feeding", "computed"),
    ),
)
def short_essential(study: Study) -> Iterator[Finding]:
    """The second feed of an essential bus is worth nothing if a chafed wire in it takes the bus.

    Each power wire is shorted at both ends; what is lost for good, at once and after changing over,
    is compared with what is lost when the wire is merely open. Put a device at the end where it
    meets the bus, quick enough to open before the bus's other feeders do
    (`far-end: {fuse: auto}`), or a diode there (`diode: schottky`). A lithium battery's management
    system may open before any device does, and takes away what that battery alone feeds. A short
    that stops an engine until a hand changes over is told as advice.
    """
    if not any(entry.essential for entry in study.document.equipment.values()):
        return
    for shorted in shorts(study).by_name.values():
        if shorted.kind != "bus" and not without(study, shorted):
            yield _finding(study, shorted)


def _finding(study: Study, shorted: Shorted) -> Finding:
    verdict, text = _judged(study, shorted)
    return answer(
        study,
        shorted.name,
        verdict,
        text,
        at=shorted.path,
        remedy=_remedy(study, shorted),
        consequence=Consequence.ENGINE
        if shorted.halts and verdict is not Verdict.PASS
        else Consequence.OTHER,
    )


def _remedy(study: Study, shorted: Shorted) -> str:
    """What to fit; the device that stands at the shorted end is to be quicker, none is added."""
    if shorted.unknown:
        return sentence(shorted.ask)
    if shorted.halts and _taking(study, shorted) is None:
        return (
            "Let its own device open before that of the feeder: a quicker one (a fuse for a "
            "breaker or a limiter), a smaller rating, or a larger one before it."
        )
    if _taking(study, shorted) is None and (cutting := _cutting(study, shorted)) is not None:
        if cutting[1].missing:
            return cut_remedy(cutting[1])
        return (
            "Take a quicker or smaller device, so that it opens before the management system does, "
            "or give these loads a second source."
        )
    near = chains(study).named(shorted.name).device
    taking = _taking(study, shorted) or _may_take(shorted)
    if near is not None and taking is not None and taking.at == "beginning":
        return (
            "Its own device must open first: take a quicker one (a fuse for a limiter or a "
            "breaker) or a smaller rating."
        )
    return _far_end(study, shorted, taking)


def _far_end(study: Study, shorted: Shorted, taking: Short | None) -> str:
    """The fuse that fits where the feeder meets the bus, or why none does."""
    diode = "a diode there (diode: schottky)"
    chain = chains(study).named(shorted.name)
    if taking is None or chain.kind != "feeder":
        return f"Fit a quick device where it meets that bus (far-end: {{fuse: auto}}), or {diode}."
    own = {chain.name, chain.far.name if chain.far else ""}
    opened = (*(one.device for one in taking.normal.opened), *taking.normal.may)
    fits = far_end_fits(study, chain, [key for key in dict.fromkeys(opened) if key not in own])
    carries = f"the {amps(fits.carries_a)} that it may carry"
    if fits.rating_a is None:
        return f"No fuse that holds {carries} is listed: fit {diode}."
    fuse = f"far-end: {{fuse: {fits.rating_a:g} A}}"
    if fits.slower_than:
        slower = device_words(study, fits.slower_than, shorted.name)
        return (
            f"Fit {diode}. A fuse that holds {carries} ({fuse}) need not open before {slower}; "
            "with a slower or larger device there it would."
        )
    return (
        f"Fit a fuse where it meets that bus: {fuse} holds {carries}, and is quicker. Or {diode}."
    )


def _may_take(shorted: Shorted) -> Short | None:
    """The first short that may take more, if devices open that may open too; None without."""
    return next((s for s in shorted.shorts if set(s.may_take) & set(shorted.may_beyond)), None)


def _judged(study: Study, shorted: Shorted) -> tuple[Verdict, str]:
    if shorted.unknown:
        return Verdict.CANNOT_TELL, f"What a short takes cannot be told: {shorted.unknown}."
    allowed = bare(study).get(shorted.name)
    if allowed is not None and allowed.kind in ("battery", "starter"):
        return Verdict.PASS, "The starter's own cable: a short of it takes its battery, as ever."
    short = _taking(study, shorted)
    if short is not None:
        text = (
            f"Shorted {where_words(shorted, short)}, {amps(short.normal.drives_a)} run into it: "
            f"{opening_words(study, short.normal, shorted.name)}. "
            f"{_lost(study, shorted.beyond)} no supply any more, nor after changing over."
        )
        return Verdict.FAIL, text
    cutting = _cutting(study, shorted)
    if cutting is not None:
        short, cut = cutting
        text = (
            f"Shorted {where_words(shorted, short)}, {cut_words(study, cut)}. "
            f"{_lost(study, _cut_beyond(study, shorted, cut, short))} no supply then, nor after "
            "changing over."
        )
        return (Verdict.CANNOT_TELL if cut.missing else Verdict.FAIL), text
    short = _may_take(shorted)
    if short is not None and shorted.kind == "feeder":
        also = listed(
            device_words(study, key, shorted.name)
            for key in dict.fromkeys((*short.normal.may, *short.changed.may))
        )
        text = (
            f"Shorted {where_words(shorted, short)}, {also} may open first: devices of a class "
            f"differ so much. {_lost(study, shorted.may_beyond)} no supply then."
        )
        return Verdict.ADVISE, text
    if shorted.halts:
        return Verdict.ADVISE, _waiting(study, shorted)
    if shorted.beyond:
        text = "A short in it takes its bus: but for it only an alternator feeds that bus, and an "
        return Verdict.PASS, f"{text}alternator alone holds no bus against a short."
    output = chains(study).by_name[shorted.name].output
    text = "A short in it takes no essential load but what hangs on it alone."
    if output:
        text = (
            "A short in it takes no essential load but what hangs on the device before "
            f"{study.system.title('equipment', output)}."
        )
    held = next(((one, one.cut) for one in shorted.shorts if one.cut is not None), None)
    if held is not None:
        text += (
            f" Shorted {where_words(shorted, held[0])}, {cut_words(study, held[1])}: what else "
            "feeds these loads holds them then."
        )
    return Verdict.PASS, text


def _waiting(study: Study, shorted: Shorted) -> str:
    """The engine stops, and a hand can end it."""
    short = next(one for one in shorted.shorts if set(one.at_once) & set(shorted.halts))
    by = f"the pilot {hands(study).words}" if hands(study).words else "the pilot changes over"
    return (
        f"The engine stops until somebody changes over. Shorted {where_words(shorted, short)}, "
        f"{amps(short.normal.drives_a)} run into it: "
        f"{opening_words(study, short.normal, shorted.name)}. {_lost(study, shorted.halts)} no "
        f"supply until {by}. Whether the engine starts by itself then is not computed."
    )


def _cut_beyond(study: Study, shorted: Shorted, cut: CutOff, short: Short) -> tuple[str, ...]:
    """What else is lost where a management system opens, and would not be without that."""
    chain = chains(study).by_name[shorted.name]
    own = {name for name in chain.loads if len(chains(study).feeds.get(name, ())) < 2}
    known = own | {*short.taken, *shorted.open_takes}
    return tuple(name for name in cut.taken if name not in known)


def _cutting(study: Study, shorted: Shorted) -> tuple[Short, CutOff] | None:
    """The first short in which a management system takes more; surely, if any does."""
    found = [
        (one, one.cut)
        for one in shorted.shorts
        if one.cut is not None and _cut_beyond(study, shorted, one.cut, one)
    ]
    return min(found, key=lambda pair: bool(pair[1].missing), default=None)


def _taking(study: Study, shorted: Shorted) -> Short | None:
    """The short that takes most of those that take another feed too; None where none does."""
    found = [
        (len(set(short.taken) & set(shorted.beyond)), -i, short)
        for i, short in enumerate(shorted.shorts)
        if set(short.taken) & set(shorted.beyond) and _other_feed(study, shorted, short)
    ]
    return max(found)[2] if found else None


def _other_feed(study: Study, shorted: Shorted, short: Short) -> bool:
    """Whether a battery feeds it to the end, or opened the device of another feeder.

    At once or after changing over: what was changed over to is another feed.
    """
    sources = study.document.sources

    def generating(name: str) -> bool:
        return name in sources and sources[name].kind == "alternator"

    if not all(generating(name) for name in short.normal.left_from):
        return True
    opened = (*short.normal.opened, *short.changed.opened)
    others = (chains(study).named(one.device) for one in opened)
    return any(
        chain.path[:2] != shorted.path[:2]
        and not generating(chain.source_end)
        and not generating(chain.far_end)
        for chain in others
    )


def _lost(study: Study, names: tuple[str, ...]) -> str:
    titles = listed((study.system.title("equipment", name) for name in names), most=4)
    text = f"{titles} {'has' if len(names) == 1 else 'have'}"
    return text[:1].upper() + text[1:]
