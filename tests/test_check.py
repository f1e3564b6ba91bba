"""The register: entering, asking, accepting, following, ordering, with checks made for the test."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

import elec.check as register
from elec.check import Check, Function, ask, check, ids, run, silent, verdict_of, worst_first
from elec.finding import Consequence, Finding, Verdict
from elec.model.system import System
from elec.standards import Cite, NotCovered
from elec.study import Study
from elec.wiring.limits import published
from tests.checks.cases import study_of

ADVISE, CANNOT_TELL, FAIL, PASS, ACCEPTED = (
    Verdict.ADVISE, Verdict.CANNOT_TELL, Verdict.FAIL, Verdict.PASS, Verdict.ACCEPTED,
)  # fmt: skip
RULE = Cite("trade", "a rule of the bench", "memory")
OTHER_RULE = Cite("trade", "another rule of the bench", "memory")


def _found(about: str, verdict: Verdict, **more: Any) -> Finding:
    return Finding(check="", about=about, verdict=verdict, sentence=f"{about}.", **more)


def _says(*found: Finding) -> Function:
    def function(study: Study) -> Iterable[Finding]:
        """What it says."""
        return found

    return function


@pytest.fixture
def bench(monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, Check]]:
    """A register of the test's own checks, all in this module."""
    made: dict[str, Check] = {}
    monkeypatch.setattr(register, "_REGISTER", made)
    monkeypatch.setattr(register, "_modules", lambda: dict.fromkeys(made, __name__))
    monkeypatch.setattr(register, "checks", lambda: tuple(made[name] for name in sorted(made)))
    register._asked.cache_clear()
    register._judged.cache_clear()
    yield made
    register._asked.cache_clear()
    register._judged.cache_clear()


def _enter(name: str, function: Function, **more: Any) -> None:
    function.__module__ = f"elec.checks.{name}"
    check("It is so", sources=more.pop("sources", (RULE,)), **more)(function)


def test_a_check_has_the_name_of_its_folder_and_file(bench: dict[str, Check]) -> None:
    def function(study: Study) -> Iterable[Finding]:
        """Why it matters.

        What to do.
        """
        return ()

    def meant(study: Study) -> System:
        return study.system

    function.__module__ = "elec.checks.bench_top.too_far"
    limit = published("bundle-tight").cite
    same = check(
        "Nothing is too far",
        sources=(RULE, OTHER_RULE, RULE, limit),
        limits=("bundle-tight",),
        deep=True,
        heats=True,
        given="far on benches",
        meant=meant,
    )(function)
    assert same is function
    assert list(bench) == ["bench-top-too-far"]
    assert bench["bench-top-too-far"] == Check(
        id="bench-top-too-far",
        title="Nothing is too far",
        why="Why it matters.\n\nWhat to do.",
        sources=(RULE, OTHER_RULE, limit),
        limits=("bundle-tight",),
        function=function,
        printed=(str(RULE), str(OTHER_RULE), str(limit)),
        deep=True,
        heats=True,
        given="far on benches",
        meant=meant,
    )


def test_what_a_check_does_not_say_is_not_so(bench: dict[str, Check]) -> None:
    _enter("bench.plain", _says())
    one = bench["bench-plain"]
    assert (one.deep, one.heats, one.given, one.meant, one.limits) == (False, False, "", None, ())


def test_the_source_of_a_limit_is_added(bench: dict[str, Check]) -> None:
    _enter("bench.plain", _says(), limits=["bundle-tight"])
    assert bench["bench-plain"].sources == (RULE, published("bundle-tight").cite)


@pytest.mark.usefixtures("bench")
def test_two_checks_have_two_names() -> None:
    _enter("bench.plain", _says())
    with pytest.raises(ValueError, match="two checks are called bench-plain"):
        _enter("bench.plain", _says())


def test_every_check_is_found_by_its_file_in_order() -> None:
    found = register.checks()
    assert ids() == tuple(one.id for one in found) == tuple(sorted(one.id for one in found))
    assert {"short-cleared", "wire-heat"} <= set(ids())
    assert not {"short", "short--words", "compare"} & set(ids())  # folders, words, what they share


def test_one_check_is_asked_with_what_was_accepted_of_it(
    bench: dict[str, Check], tmp_path: Path
) -> None:
    lamp, fan, clock = (_found(name, FAIL) for name in ("lamp", "fan", "clock"))
    _enter("bench.one", _says(_found("radio", PASS), lamp, fan, clock))
    _enter("bench.two", _says(_found("lamp", FAIL)))
    accept = [
        {"check": name, "about": about, "reason": f"reason {number}"}
        for number, (name, about) in enumerate([
            ("bench-two", "gone"), ("bench-one", "radio"), ("bench-one", "fan"),
            ("bench-one", "clock"),
        ])
    ]  # fmt: skip
    study = Study(_accepting(accept, tmp_path))
    found = ask(study, "bench-one")
    assert [(one.about, one.verdict, one.reason) for one in found] == [
        ("lamp", FAIL, ""),
        ("radio", FAIL, ""),  # nothing speaks against it
        ("fan", ACCEPTED, "reason 2"),
        ("clock", ACCEPTED, "reason 3"),
        ("radio", PASS, ""),
    ]
    unmatched = found[1]
    assert unmatched.check == "bench-one"
    assert unmatched.place.path == "accept.2"
    assert unmatched.sentence == (
        "This acceptance matches no finding: bench-one says nothing against radio."
    )
    assert unmatched.remedy.startswith("Take it out of accept")
    assert set(bench) == {"bench-one", "bench-two"}
    with pytest.raises(KeyError):
        ask(study, "bench-three")


def _accepting(accept: list[dict[str, str]], folder: Path) -> System:
    """The bench with acceptances: of checks that there are none of outside of this test."""
    names = ("battery-warning", "bundle-heat", "wire-heat", "wire-back")[: len(accept)]
    written = [{**one, "check": name} for one, name in zip(accept, names, strict=True)]
    read = study_of({"accept": written}, folder).designed
    entries = tuple(
        entry.model_copy(update={"check": one["check"]})
        for entry, one in zip(read.document.accept, accept, strict=True)
    )
    return replace(read, document=read.document.model_copy(update={"accept": entries}))


@pytest.mark.usefixtures("bench")
def test_the_worst_that_several_checks_say_of_one_thing(tmp_path: Path) -> None:
    _enter("bench.one", _says(_found("lamp", PASS), _found("fan", CANNOT_TELL),
                              _found("lamp", ADVISE)))  # fmt: skip
    _enter("bench.two", _says(_found("lamp", FAIL), _found("fan", PASS)))
    study = study_of({}, tmp_path)
    assert verdict_of(study, "lamp", "bench-one") is ADVISE
    assert verdict_of(study, "lamp", "bench-one", "bench-two") is FAIL
    assert verdict_of(study, "fan", "bench-two", "bench-one") is CANNOT_TELL
    assert verdict_of(study, "radio", "bench-one", "bench-two") is None


@pytest.mark.usefixtures("bench")
def test_which_checks_are_asked_and_which_are_silent(tmp_path: Path) -> None:
    _enter("bench.deep", _says(_found("deep", PASS)), deep=True)
    _enter("bench.plain", _says(_found("plain", PASS)))
    _enter("bench.quiet", _says(), given="a thing")
    _enter("bench.still", _says(), deep=True)
    accept = [{"check": "bench-deep", "about": "gone", "reason": "it was"}]
    study = Study(_accepting(accept, tmp_path))
    assert [one.about for one in run(study)] == ["gone", "deep", "plain"]
    assert [one.about for one in run(study, deep=False)] == ["plain"]  # nor is `accept` judged
    assert [one.about for one in run(study, only=["bench-deep"])] == ["gone", "deep"]
    assert run(study, only=["bench-deep"], deep=False) == ()
    assert run(study, only=[]) == ()
    every = run(study)
    assert silent(every, deep=True) == (("bench-quiet", "a thing"), ("bench-still", ""))
    assert silent(every, deep=False) == (("bench-quiet", "a thing"),)


def test_findings_bear_their_check_its_sources_and_what_heats(
    bench: dict[str, Check], tmp_path: Path
) -> None:
    said = (
        _found("plain", FAIL),
        _found("own", FAIL, sources=("its own",)),
        _found("bus", FAIL, consequence=Consequence.BUS),
    )
    _enter("bench.cold", _says(*said))
    _enter("bench.warm", _says(*said), heats=True)
    study = study_of({}, tmp_path)
    for name, usual in (("bench-cold", Consequence.OTHER), ("bench-warm", Consequence.HEAT)):
        found = {one.about: one for one in ask(study, name)}
        assert {one.check for one in found.values()} == {name}
        assert found["plain"].sources == found["bus"].sources == (str(RULE),)
        assert found["own"].sources == ("its own",)
        assert found["plain"].consequence is found["own"].consequence is usual
        assert found["bus"].consequence is Consequence.BUS
    assert len(bench) == 2


@pytest.mark.usefixtures("bench")
def test_what_no_document_covers_silences_the_rest_of_one_check(tmp_path: Path) -> None:
    def function(study: Study) -> Iterator[Finding]:
        yield _found("lamp", PASS)
        raise NotCovered("gauge of the wire", 30, "22 to 4/0", "table 11-9")

    _enter("bench.beyond", function, heats=True)
    _enter("bench.plain", _says(_found("plain", PASS)))
    study = study_of({}, tmp_path)
    beyond, lamp, plain = run(study)
    assert (lamp.about, plain.about) == ("lamp", "plain")
    assert (beyond.check, beyond.about, beyond.verdict) == ("bench-beyond", "system", CANNOT_TELL)
    assert beyond.place.path == "system"
    assert beyond.place.line > 0
    assert beyond.consequence is Consequence.HEAT
    assert beyond.sources == (str(RULE),)
    assert beyond.sentence == (
        "It is so: that cannot be told. Gauge of the wire 30 is not covered by table 11-9 "
        "(22 to 4/0)."
    )
    assert beyond.remedy == "Correct that value if it is a slip; else ask the maker of the part."


def test_worst_first() -> None:
    engine, heat = Consequence.ENGINE, Consequence.HEAT
    found = [
        _found("accepted, engine", ACCEPTED, consequence=engine),
        _found("pass", PASS),
        _found("pass, engine", PASS, consequence=engine),
        _found("accepted first in the text", ACCEPTED),
        _found("cannot tell", CANNOT_TELL),
        _found("advise", ADVISE),
        _found("advise, heat", ADVISE, consequence=heat),
        _found("fail that follows, engine", FAIL, consequence=engine, follows="bench-one"),
        _found("fail", FAIL),
        _found("fail, again", FAIL),
        _found("fail, engine", FAIL, consequence=engine),
        _found("fail, cause", FAIL, cause=True),
        _found("cannot tell, heat", CANNOT_TELL, consequence=heat),
    ]
    assert [one.about for one in worst_first(found)] == [
        "fail, cause", "fail, engine", "fail", "fail, again", "fail that follows, engine",
        "advise, heat", "advise",
        "cannot tell, heat", "cannot tell",
        "accepted, engine", "accepted first in the text",
        "pass", "pass, engine",
    ]  # fmt: skip


FOLLOWS = "This follows from bench-cause: set that right first."


@pytest.mark.parametrize("verdict", [FAIL, ADVISE])
def test_what_only_follows_from_a_cause(
    bench: dict[str, Check], tmp_path: Path, verdict: Verdict
) -> None:
    right = study_of({"system": {"name": "Right"}}, tmp_path).designed

    def cause(study: Study) -> Iterator[Finding]:
        yield _found("other", ADVISE)
        if study.system.about.name != "Right":
            yield _found("setpoint", verdict, remedy="Set it right.")

    def after(study: Study) -> Iterator[Finding]:
        yield _found("anyhow", FAIL, remedy="Mend it.")
        if study.system.about.name == "Right":
            yield _found("worse with it", ADVISE)
            yield _found("passes then", PASS)
            return
        yield _found("worse with it", FAIL, remedy="Take a thicker one.")
        yield _found("passes then", CANNOT_TELL)
        yield _found("good", PASS)

    _enter("bench.cause", cause, meant=lambda _: right)
    _enter("bench.after", after)
    _enter("bench.sound", _says(), meant=lambda study: study.system)
    found = {one.about: one for one in run(study_of({}, tmp_path))}
    assert {about: (one.cause, one.follows, one.remedy) for about, one in found.items()} == (
        {
            "setpoint": (True, "", "Set it right."),
            "other": (False, "", ""),
            "anyhow": (False, "", "Mend it."),
            "worse with it": (False, "bench-cause", f"{FOLLOWS} Take a thicker one."),
            "passes then": (False, "bench-cause", FOLLOWS),
            "good": (False, "", ""),
        }
        if verdict is FAIL
        else {
            "setpoint": (False, "", "Set it right."),
            "other": (False, "", ""),
            "anyhow": (False, "", "Mend it."),
            "worse with it": (False, "", "Take a thicker one."),
            "passes then": (False, "", ""),
            "good": (False, "", ""),
        }
    )
    assert set(bench) == {"bench-after", "bench-cause", "bench-sound"}
