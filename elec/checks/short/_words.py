"""How checks put the course of a short into words."""

from elec.answers.short.short_clearing import ShortCourse
from elec.answers.short.short_managed import CutOff
from elec.answers.short.shorts import Short, Shorted
from elec.checks.answer import amps, listed
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.units import show
from elec.wiring.chains import chains


def device_words(study: Study, key: str, own: str) -> str:
    """`its 15 A breaker`, or `the 30 A breaker of essential from main`."""
    device = sizing(study).devices[key]
    chain = chains(study).named(key)
    if device.chain == own:
        return f"its {device.label}{' at the far end' if device.at_far_end else ''}"
    end = " (far end)" if device.at_far_end else ""
    return f"the {device.label} of {device.chain.replace('-', ' ') or chain.title}{end}"


def opening_words(study: Study, course: ShortCourse, own: str) -> str:
    """`its 15 A breaker opens within 0.1 s`, each in its order."""
    texts = [
        f"{device_words(study, one.device, own)} opens within {seconds(one.at_s)}"
        for one in course.opened
    ]
    return ", then ".join(texts) if texts else "nothing opens"


def seconds(time_s: float) -> str:
    """A time for print, as exact as a device's band is.

    >>> seconds(0.3412)
    '0.34 s'
    """
    return show(float(f"{time_s:.2g}"), "s")


def where_words(shorted: Shorted, short: Short) -> str:
    """`at its far end`, `at MASTER`, or nothing for a bus."""
    if shorted.kind == "bus":
        return ""
    return f"at its {short.at}" if short.at in ("beginning", "far end") else f"at {short.at}"


def feeding_words(study: Study, course: ShortCourse) -> str:
    """The sources that feed a short to the end."""
    return listed(study.system.title("sources", name) for name in course.left_from)


def cut_words(study: Study, cut: CutOff) -> str:
    """What a battery gives and its management does: for the middle of a sentence."""
    names = listed(study.system.title("sources", name) for name in cut.batteries)
    limit = getattr(study.document.sources[cut.batteries[0]], "limit_a", None)
    if limit is None:
        return (
            f"{names} gives {amps(cut.amps)}; at which current its management system opens is not "
            "given"
        )
    given = f"{names} gives {amps(cut.amps)}, more than its limit of {amps(limit)}"
    if cut.missing:
        return f"{given}; how long its management system waits is not given"
    return f"{given}, and its management system opens"


def cut_remedy(cut: CutOff) -> str:
    """What to ask the battery's maker."""
    if cut.missing == "limit":
        return (
            "Read off its sheet at which current its management system opens and after what time: "
            "give limit: 300 A and opens-after: 1 s."
        )
    return "Ask its maker how long it waits above its limit: give opens-after: 1 s."
