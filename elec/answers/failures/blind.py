"""What an alternator does whose regulator no longer sees the voltage that it holds, in words.

In: the alternator as given. Out: a sentence's end for tables and findings. That it is off then is
traced (`failure_trace`); here stands why, and what is not known of it.
"""

from elec.model.source import Alternator
from elec.study import Study


def blind_words(study: Study, name: str) -> str:
    """`alternator sees no voltage and gives nothing`, or what is not known.

    Args:
        study: the run.
        name: an alternator with a sense wire.
    """
    source, title = study.document.sources[name], study.system.title("sources", name)
    if not isinstance(source, Alternator):
        raise TypeError(name)
    sees = f"the regulator of {title} no longer sees the voltage that it holds"
    does = source.sense.if_open if source.sense is not None else None
    if does == "off":
        return f"{sees} and gives nothing"
    if does == "full" and source.taken_off():
        return f"{sees}: it gives all it can until its overvoltage trip opens, then nothing"
    if source.taken_off():
        return (
            f"{sees}: cannot tell whether it gives nothing at once, or all it can until its "
            "overvoltage trip opens, then nothing (if-open); counted off, as in the end it is "
            "either way"
        )
    may = "gives" if does == "full" else "may give"
    return (
        f"{sees}: it {may} all it can, and nothing is said to take it off; cannot tell how high "
        "its voltage goes and what that takes. What is told here is without it"
    )


__all__ = ["blind_words"]
