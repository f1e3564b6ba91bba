# ruff: noqa: E501 - text as it is printed
"""Text for terminals and pipes: nothing is cut, nothing is coloured where nobody looks."""

import re

import pytest
from msgspec.structs import replace

from elec.finding import Finding, Verdict, quoted
from elec.pages.document import FindingList, Section, TableBlock
from elec.pages.table import Column, Table
from elec.write.columns import lay
from elec.write.register import Options
from elec.write.to_text import counts, text_of, working_text
from tests.write.sample import CHECKING, DROP, FINDINGS, HOSTILE, WIRES, book

PIPE = Options(again="elec why systems/foxglove")
GOLD = """\
Foxglove, 14 V: 26 circuits, 41 pieces of equipment, 3 coaxial cables
1 fail   1 advise   1 cannot tell   12 pass   1 accepted

fail         wire-drop          landing-light                               lights.yaml:31
             0.64 V lost on the way; 0.50 V is allowed for a load that stays on.
             AWG 18, 14 ft out and 14 ft back, 3.2 A, wire at 48 °C in the strut.
             AWG 16 would lose 0.40 V. Or shorten the run to 11 ft.
             AC 43.13-1B table 11-6 · elec why systems/foxglove wire-drop landing-light
advise       bundle-heat        panel to belly                              places.yaml:18
             9 wires share this way; packed together they may carry 63 % of what each may carry alone.
             Nobody adds a load here without asking again.
             AC 43.13-1B figure 11-5 · elec why systems/foxglove bundle-heat "panel to belly"
cannot-tell  alternator-margin  bilge-pump                                  equipment.yaml:77
             No current is given, so no total that contains it is certain.
             Read it off the label, or measure it.
accepted     ground-return      <script>alert(1)</script> & "quotes" 'too'  system.yaml:90
             Two returns share one stud.
             Accepted: Stud B2 is free only after the panel is wired."""
GOLD_WORKING = """\
Voltage lost on the way to landing-light

1. current
   I = P / V
     = 45 / 14
     = 3.2143 A
     P = 45 W  power of the lamp  lights.yaml:31
     V = 14 V  nominal voltage    system.yaml:3

2. resistance per metre, AWG 18, 48 °C
   r = 0.0232 Ω/m
   from wire_copper.csv
   after MIL-W-22759/16

3. drop, out and back
   U = 2 × r × l × I
     = 2 × 0.0232 × 4.2672 × 3.2143
     = 0.6364 V
     r = 0.0232 Ω/m        resistance per metre  step 2
     l = 4.2672 m (14 ft)  length one way        places.yaml:12
     I = 3.2143 A          current               step 1
   after Ohm's law
   The return wire is as long as the feed.

What decided: step 3."""


def test_findings_in_a_pipe() -> None:
    assert text_of(CHECKING, PIPE) == GOLD


def test_a_working_in_a_pipe() -> None:
    assert working_text(DROP, PIPE) == GOLD_WORKING


def words(text: str) -> list[str]:
    return [word for word in text.split() if word != "·"]  # a dot stands between two on one line


@pytest.mark.parametrize("width", [30, 44, 60, 80, 100, 200])
def test_no_width_loses_a_word(width: int) -> None:
    narrow = text_of(CHECKING, replace(PIPE, width=width))
    wide = text_of(CHECKING, PIPE)
    pieces = sorted(word.strip(",") for word in words(narrow))
    assert pieces == sorted(word.strip(",") for word in words(wide))


@pytest.mark.parametrize("width", [44, 60, 80, 100])
def test_lines_fit_the_terminal(width: int) -> None:
    lines = text_of(CHECKING, replace(PIPE, width=width)).splitlines()
    assert max(len(line) for line in lines) <= width


@pytest.mark.parametrize("width", range(30, 101, 7))
def test_a_unit_stays_with_its_number(width: int) -> None:
    lines = text_of(CHECKING, replace(PIPE, width=width)).splitlines()
    units = {line.split()[0].strip(".,;") for line in lines if line.strip()}
    assert not units & {"V", "A", "ft", "°C", "%"}


def test_every_finding_begins_with_its_verdict_in_words() -> None:
    lines = text_of(CHECKING, PIPE).splitlines()
    heads = [line.split()[0] for line in lines[3:] if not line.startswith(" ")]
    assert heads == ["fail", "advise", "cannot-tell", "accepted"]


def test_passes_are_counted_and_listed_when_asked_for() -> None:
    assert "circuit-3" not in text_of(CHECKING, PIPE)
    assert "12 pass" in text_of(CHECKING, PIPE)
    assert "circuit-3" in text_of(CHECKING, replace(PIPE, passes=True))


def test_colour_only_when_asked_for() -> None:
    assert "\x1b" not in text_of(CHECKING, PIPE)
    coloured = text_of(CHECKING, replace(PIPE, colour=True))
    assert "\x1b[31m" in coloured
    assert re.sub(r"\x1b\[\d+m", "", coloured) == text_of(CHECKING, PIPE)


def test_nothing_checked_is_said() -> None:
    assert counts([]) == "nothing was checked"


def test_builders_text_cannot_steer_the_terminal() -> None:
    found = Finding(
        check="x", about="a\x1b[2J\nb", verdict=Verdict.FAIL, sentence="c\x07\rd", remedy="\x9be"
    )
    section = Section(id="x", title="t\x1b]0;", blocks=(FindingList(findings=(found,)),))
    text = text_of(section, PIPE)
    assert not set(text) & set("\x1b\x07\r\x9b")


def table_text(width: int | None, *, wide: bool = False) -> str:
    section = Section(id="w", title="Wires", blocks=(TableBlock(table=WIRES),))
    return text_of(section, replace(PIPE, width=width, wide=wide))


def test_a_table_in_a_pipe_keeps_every_column() -> None:
    lines = table_text(None).splitlines()
    heads = re.split(r" {2,}", lines[2].strip())
    assert heads == [
        "Mark", "Circuit", "Gauge", "Current, A", "Drop, V", "Length, ft", "Hottest, °C", "From",
        "To", "Colour", "Mass, lb", "Remark",
    ]  # fmt: skip
    assert HOSTILE in table_text(None)


def test_a_narrow_terminal_drops_the_least_important_columns_and_says_so() -> None:
    text = table_text(90)
    assert "No room for 4 columns: To, Colour, Mass, Remark. --wide shows all." in text
    assert max(len(line) for line in text.splitlines()) <= 90
    assert "No room" not in table_text(90, wide=True)


def test_columns_of_importance_one_never_go() -> None:
    laid = lay(WIRES, system="feet", width=20, wide=False)
    assert laid.dropped == ("Length", "Hottest", "From", "To", "Colour", "Mass", "Remark")
    for word in ("Mark", "Circuit", "Gauge", "Current,", "Drop,"):
        assert word in " ".join(laid.lines)


def test_heads_fold_before_columns_go() -> None:
    table = Table(
        id="t",
        title="",
        columns=(
            Column(key="load", head="Load"),
            Column(key="climb_a", head="Take-off and climb", unit="a", importance=3),
        ),
        rows=(("radio", 1.5), ("pump", None)),
    )
    laid = lay(table, system="feet", width=20, wide=False)
    assert laid.dropped == ()
    assert laid.lines == (
        "       Take-off",
        "            and",
        "Load   climb, A",
        "radio      1.50",
        "pump       ?",
    )
    assert (
        lay(table, system="feet", width=None, wide=False).lines[0] == "Load   Take-off and climb, A"
    )


def test_points_stand_under_each_other() -> None:
    lines = table_text(None).splitlines()[3:8]
    points = {line.index(".", line.index(" ")) for line in lines if "?" not in line}
    assert len(points) == 1


def test_an_unknown_number_stands_where_numbers_stand() -> None:
    lines = table_text(None).splitlines()
    bilge = next(line for line in lines if line.startswith("B7A20"))
    assert bilge.count("?") == 3


def test_text_of_other_scripts_is_aligned_by_its_width_on_screen() -> None:
    table = Table(
        id="t",
        title="",
        columns=(Column(key="a", head="A"), Column(key="b", head="B")),
        rows=(("電気", "x"), ("abcd", "y")),
    )
    assert lay(table, system="feet", width=None, wide=False).lines == (
        "A     B",
        "電気  x",
        "abcd  y",
    )


def test_an_empty_table_says_so() -> None:
    empty = Table(id="t", title="Spares", columns=(Column(key="a", head="A"),), rows=())
    section = Section(id="x", title="x", blocks=(TableBlock(table=empty),))
    assert "Nothing to list." in text_of(section, PIPE)


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("radio.J1", "radio.J1"),
        ("panel to belly", '"panel to belly"'),
        ('a"b', "'a\"b'"),
        ("$(rm)", "'$(rm)'"),
        ("", '""'),
    ],
)
def test_a_name_becomes_one_word_of_the_shell(name: str, word: str) -> None:
    assert quoted(name) == word


def test_a_whole_book_prints_as_text() -> None:
    text = text_of(book(), PIPE)
    for part in (
        "Summary and findings",
        "Caution: This book is advice.",
        "[ ] com-antenna",
        "- Spares",
    ):
        assert part in text
    assert all(finding.about in text for finding in FINDINGS if finding.verdict is not Verdict.PASS)
