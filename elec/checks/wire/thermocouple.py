"""Does thermocouple wire lead all the way, leg by leg?"""

from collections.abc import Iterator, Mapping

from elec.answers.base.marks import marks
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.ends import end_text
from elec.wiring.wires import kind_name, kind_of

PREFIX = "thermocouple-"


@check(
    "Thermocouple wire leads from probe to instrument, each leg in its own metal",
    sources=(
        Cite("iec_60584", "letters and legs of thermocouples", "memory"),
        Cite("trade", "thermocouple wiring", "memory"),
    ),
    given="thermocouple on wires or multicores",
)
def wire_thermocouple(study: Study) -> Iterator[Finding]:
    """Where a leg meets copper, or the other leg, a second thermocouple stands, at the wrong place.

    The instrument then shows the difference to the temperature there, or half of it backwards.
    Lead both legs to the instrument, through plugs and strips only with contacts of the same
    metals or side by side at one temperature, the positive leg to the positive contact.
    """
    landed: dict[str, list[Conductor]] = {}
    for wire in chains(study).conductors():
        for part in (wire.a, wire.b):
            landed.setdefault(part.id, []).append(wire)
    for chain in chains(study).by_name.values():
        for leg in chain.conductors():
            if kind_name(study, leg).startswith(PREFIX):
                yield _finding(study, chain, leg, landed)


def _finding(
    study: Study, chain: Chain, leg: Conductor, landed: Mapping[str, list[Conductor]]
) -> Finding:
    mark = marks(study)[leg.id]
    what = f"{mark} ({_leg(kind_name(study, leg))})"
    remedy = "Lead each leg from the probe to the instrument in its own metal (thermocouple:)."
    verdict, text = Verdict.PASS, f"{what} is {kind_of(study, leg).conductor} from end to end."
    for part in (leg.a, leg.b):
        ours, other = _ends(study, leg, part, landed[part.id])
        where = end_text(study, part)
        if other == "crossed":
            return answer(
                study, leg.id, Verdict.FAIL, f"{what} ends on {where}, which is marked for the "
                "other leg: the reading falls as the temperature rises.",
                at=chain.path, remedy="Change the two legs over.",
            )  # fmt: skip
        if other == "unknown":
            verdict, text = Verdict.CANNOT_TELL, (
                f"{what} ends on {where} with {ours} other wires; which of them it meets is not "
                "said."
            )  # fmt: skip
            remedy = "Give each probe an entry of its own, or name its terminals (cht.1, cht.2)."
        elif other:
            return answer(
                study, leg.id, Verdict.FAIL, f"{what} meets {other} at {where}: a second "
                "thermocouple, which adds the temperature of that place.",
                at=chain.path, remedy=remedy,
            )  # fmt: skip
    return answer(study, leg.id, verdict, text, at=chain.path, remedy=remedy)


def _leg(kind: str) -> str:
    """`type K, positive`."""
    letter, sign = kind.removeprefix(PREFIX).split("-")
    return f"type {letter.upper()}, {sign}"


def _ends(study: Study, leg: Conductor, part: Part, landed: list[Conductor]) -> tuple[int, str]:
    """How many others end there, and what is wrong with that: a wire, `crossed` or `unknown`."""
    others = [wire for wire in landed if wire.id != leg.id]
    kind = kind_name(study, leg)
    if part.kind not in ("equipment", "connector", "splice"):
        return len(others), end_text(study, part)
    entry = study.document.equipment.get(part.name)
    if entry is not None and entry.connectors:
        connector, _, pin = part.contact.rpartition(".")
        face = entry.connectors.get(connector)
        signal = face.pins[pin].signal if face is not None and pin in face.pins else ""
        sign = {"+": "positive", "-": "negative", "−": "negative"}.get(signal[-1:], "")
        return len(others), "crossed" if sign and not kind.endswith(sign) else ""
    strange = [wire for wire in others if kind_name(study, wire) != kind]
    if not strange:
        return len(others), ""
    probe = part.kind == "equipment" and part.contact == "1"  # the thing itself, no terminal of it
    if probe and len(others) > 1:
        return len(others), "unknown"
    letter = kind.rpartition("-")[0]
    if probe and kind_name(study, strange[0]).rpartition("-")[0] == letter:
        return 1, ""  # both legs on the probe
    return len(others), f"{marks(study)[strange[0].id]} ({_metal(study, strange[0])})"


def _metal(study: Study, wire: Conductor) -> str:
    kind = kind_name(study, wire)
    return _leg(kind) if kind.startswith(PREFIX) else kind_of(study, wire).conductor
