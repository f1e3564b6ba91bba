"""Why a gauge does not do for a chain.

In: heat, drop, contacts, stock, twins. Out: `Obstacle`, the first that is met.
"""

from collections import ChainMap

from elec.sizing.chart import chart_awg
from elec.sizing.feeder_devices import RESERVE
from elec.sizing.obstacle import Obstacle
from elec.sizing.order import returns_through
from elec.sizing.search.heat import STARTS
from elec.sizing.search.solved import SearchSolved
from elec.sizing.shelf import off_the_shelf
from elec.standards import AWGS
from elec.wiring.chains import Chain, Conductor
from elec.wiring.coils import feeding
from elec.wiring.duty import duties
from elec.working import within


class SearchObstacle(SearchSolved):
    """What stands against a gauge."""

    def obstacle(
        self, chain: Chain, free: list[Conductor], awg: str, *, drop: bool = True
    ) -> Obstacle | None:
        """Why a gauge does not do for a chain; None when it does. The drop may be left out."""
        here = AWGS.index(awg)
        contacts = self.contacts[chain.name]
        if contacts and here < AWGS.index(contacts.thinnest):
            return Obstacle(kind="contacts", text=f"contacts of {contacts.title}")
        for name, title in returns_through(self.study, chain):
            if here < AWGS.index(self.work.gauges[name]):
                return Obstacle(kind="short comes back", text=f"as thick as {title}")
        if off_the_shelf(self.study, awg):
            return Obstacle(kind="stock", text="your stock has none")
        for twin, title in self._twin_gauges(chain):
            if here < AWGS.index(twin):
                text = f"as thick as {title}, which it stands in for"
                return Obstacle(kind="stands in", text=text)
        device = self.guard(chain)
        rating = device.rating_a if device else None
        far = self.work.devices.get(chain.far.name) if chain.far else None
        others = [self.work.devices.get(n) for n in self._feeding(chain)]
        for other in (d for d in others if d is not None and d.rating_a is not None):
            if rating is None or (other.rating_a or 0.0) > rating:
                device, rating = other, other.rating_a
        for conductor in free:
            needed = self._duty(chain, conductor.id) if rating is None else rating
            if rating is not None and far is not None:
                needed = max(needed, far.rating_a or 0.0)
            amps, spot = self.allowed(conductor.id, awg)
            if not within(amps, needed, "at least"):
                where = self.where.bundles[spot].where if spot else ""
                return Obstacle(kind="heat", text=f"heat {where}".rstrip(), where=where)
            if self._tight(conductor.id, awg):
                text = f"heat, {self.tight:.0%} of what it may carry at most"
                return Obstacle(kind="tight", text=text)
            if self._start_heats(conductor.id, awg):
                return Obstacle(kind="starts", text=f"heat of {STARTS} starts in a row")
        if self._short_heats(chain, free, awg):
            return Obstacle(kind="short", text="heat of a short until it is switched off")
        trial = ChainMap({c.id: awg for c in free}, self.work.gauges)
        reserve = 1.0 if chain.kind == "circuit" else RESERVE
        for lost, most in self.drops(chain, trial) if drop else ():
            if not within(lost * reserve, most):
                return Obstacle(kind="drop", text="voltage drop")
        if device is not None and rating is not None:
            chart = chart_awg(rating, device.kind)
            asked = -1 if chart is None else AWGS.index(chart)
            if contacts:  # the chart is advice: it asks for nothing that does not fit
                asked = min(asked, AWGS.index(contacts.thickest))
            if here < asked:
                return Obstacle(kind="chart", text=f"published chart for a {device.label}")
        return None

    def _feeding(self, chain: Chain) -> tuple[str, ...]:
        return feeding(self.study, chain) if chain.kind == "feeder" else ()

    def _twin_gauges(self, chain: Chain) -> list[tuple[str, str]]:
        """(gauge, title) of the circuits that stand in for this one, as far as it can take them."""
        contacts = self.contacts[chain.name]
        found = []
        for name in self.twins.get(chain.name, ()):
            awg = max((self.work.gauges[c.id] for c in self.by_name[name].conductors()),
                      key=AWGS.index)  # fmt: skip
            if contacts and AWGS.index(awg) > AWGS.index(contacts.thickest):
                awg = contacts.thickest
            found.append((awg, self.by_name[name].title))
        return found

    def _duty(self, chain: Chain, conductor: str) -> float:
        """What a conductor without a rated device must carry."""
        duty = duties(self.study).get(chain.name)
        lasting = self.lasting(conductor)
        if chain.kind != "feeder":
            return lasting
        others = max(self.after_a.get(conductor, 0.0), self.charge_a.get(conductor, 0.0))
        return max(lasting * RESERVE, others * RESERVE, duty.current_a if duty else 0.0)
