"""The most ways between two spots that have nothing in common, by Menger's theorem.

In: what leads, where ways begin. Out: `Ways` to any ends. Each way more is found by one search from
the ends back, over what is free and over what other ways take back; it ends where the ends are cut
off, mostly near them, so that a large aircraft is not searched for each.
"""

from collections import deque
from collections.abc import Collection

from msgspec import Struct

from elec.wiring.graph import Link


class Ways(Struct, frozen=True, kw_only=True):
    """Which starts lead there, and in how many ways."""

    starts: tuple[str, ...]
    by_wire: int
    """Ways with no wire, device or switch in common."""
    independent: int
    """Ways that have no source, stud or bus in common either."""


class WayNet:
    """What leads from the starts, built once and asked for many ends.

    A spot is an arc from where it is entered to where it is left, and so is a link, so that two
    wires side by side are two ways. Arc 2 n + 1 is arc 2 n taken back.
    """

    def __init__(
        self, links: Collection[Link], starts: Collection[str], ends: Collection[str]
    ) -> None:
        """Build it.

        Args:
            links: what leads; a diode from `a` to `b` only.
            starts: where ways begin; without a spot in common each begins at another.
            ends: all that may be asked for.
        """
        self._starts = starts
        self._far: list[int] = []
        """Where each arc ends."""
        self._room: list[int] = []
        """How many ways may go over it, without a spot in common."""
        self._at: list[list[int]] = []
        """The arcs that begin at each node."""
        kept = leading(links, starts, ends)
        joined = {end for link in links for end in (link.a, link.b)}
        spots = {end: None for link in kept for end in (link.a, link.b)}
        spots |= dict.fromkeys(end for end in (*starts, *ends) if end in joined)
        self._spots = {spot: self._passed() for spot in spots}
        self._spot_arcs = range(0, len(self._far), 2)
        for link in kept:
            through = self._passed()
            for a, b in ((link.a, link.b), (link.b, link.a)):
                if link.kind != "diode" or a == link.a:
                    self._arc(self._spots[a] + 1, through)
                    self._arc(through + 1, self._spots[b])

    def _passed(self) -> int:
        """A new node to enter; the one to leave by is behind it."""
        entered = len(self._at)
        self._at += [], []
        self._arc(entered, entered + 1)
        return entered

    def _arc(self, a: int, b: int) -> None:
        self._at[a].append(len(self._far))
        self._at[b].append(len(self._far) + 1)
        self._far += b, a
        self._room += 1, 0

    def ways(self, ends: Collection[str]) -> Ways:
        """The most ways without a link in common, and without a link or a spot in common.

        Any number may end at one of the ends.
        """
        to = [self._spots[end] for end in ends if end in self._spots]
        onward = self._back(self._room, to, frozenset())
        starts = tuple(s for s in self._starts if self._spots.get(s) in onward)
        begin = frozenset(self._spots[s] for s in starts if s not in ends)
        wide = list(self._room)
        for arc in self._spot_arcs:
            wide[arc] = len(self._far)
        return Ways(
            starts=starts,
            by_wire=self._most(wide, to, begin),
            independent=self._most(list(self._room), to, begin),
        )

    def _most(self, room: list[int], to: list[int], begin: frozenset[int]) -> int:
        found = 0
        while (node := next(reversed(onward := self._back(room, to, begin)), -1)) in begin:
            found += 1
            while (arc := onward[node]) >= 0:
                room[arc] -= 1
                room[arc ^ 1] += 1
                node = self._far[arc]
        return found

    def _back(self, room: list[int], to: list[int], begin: frozenset[int]) -> dict[int, int]:
        """From the ends back until one of the starts: node → the arc that leads on, the last last.

        From all that leads there, where no start is named or none does.
        """
        onward = dict.fromkeys(to, -1)
        waiting = deque(onward)
        while waiting:
            for arc in self._at[waiting.popleft()]:
                node = self._far[arc]
                if room[arc ^ 1] and node not in onward:
                    onward[node] = arc ^ 1
                    if node in begin:
                        return onward
                    waiting.append(node)
        return onward


def leading(
    links: Collection[Link], starts: Collection[str], ends: Collection[str]
) -> tuple[Link, ...]:
    """The links without those that lead to nothing but a loose end: no way goes over them."""
    at: dict[str, dict[str, Link]] = {}
    for link in links:
        at.setdefault(link.a, {})[link.id] = link
        at.setdefault(link.b, {})[link.id] = link
    held, gone = {*starts, *ends}, set[str]()
    loose = [spot for spot, here in at.items() if len(here) == 1 and spot not in held]
    while loose:
        spot = loose.pop()
        for link in at.pop(spot).values():
            other = link.b if link.a == spot else link.a
            gone.add(link.id)
            at[other].pop(link.id)
            if len(at[other]) == 1 and other not in held:
                loose.append(other)
    return tuple(link for link in links if link.id not in gone)


__all__ = ["WayNet", "Ways", "leading"]
