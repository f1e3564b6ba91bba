"""Device classes and curves in the builder's file: what cannot be is refused and explained."""

import pytest

from tests.read.helper import Wrong

ZONES = "zones:\n  floor: {places: [belly], closes: before the floor goes in}\n"


def _own(curve: str) -> str:
    return ZONES + f"device-classes: {{mine: {{curve: {curve}}}}}\n"


@pytest.mark.parametrize(
    ("old", "new", "mistakes"),
    [
        ("breaker: 5 A, feeds: radio", "breaker: {rating: 5 A, class: termal}, feeds: radio", [
            ('circuits.radio.breaker.class: there is no class of breaker "termal"; did you mean '
            '"thermal"?')
        ]),
        ("limiter: 40 A", "limiter: {rating: 40 A, class: thermal}", [
            ('feeders.2.limiter.class: there is no class of limiter "thermal"; known: blade-e, '
            "blade-c, blade-f, sf30, sf51, strip-limiter, glass-ul248-14, "
            "glass-6x32, mil-prf-23419-9, resettable")
        ]),
        (ZONES, _own("{2: {opens: 30 s}}"), [
            'device-classes.mine.curve: "2" is no share of the rating; write it as 200 %'
        ]),
        (ZONES, _own("{200 %: {}}"), [
            "device-classes.mine.curve: at 200 % nothing is said; write holds: or opens: and a time"
        ]),
        (ZONES, _own("{200 %: {opens: 30 s}, 400 %: {opens: 40 s}}"), [
            "device-classes.mine.curve: with more current the times after opens: do not get longer"
        ]),
        (ZONES, _own("{200 %: {holds: 30 s, opens: 20 s}}"), [
            "device-classes.mine.curve: it cannot hold longer than the time in which it has opened"
        ]),
        (ZONES, _own("{200 %: {opens: 30 A}}"), [
            ('device-classes.mine.curve.200 %.opens: "30 A" is a current; expected a time such as '
            '"15 s"')
        ]),
        (ZONES, ZONES + "device-classes: {Mine: {interrupts: 1000 A}}\n", [
            "device-classes.Mine: a name is made of small letters, digits and hyphens"
        ]),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(wrong: Wrong, old: str, new: str, mistakes: list[str]) -> None:
    assert wrong(old, new) == mistakes
