"""Ink onto a page: paths, circles, arcs, texts and symbols as vectors."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any, assert_never

from elec.drawings import metrics
from elec.drawings.ink import Arc, Circle, Ink, InkPath, Lettering, Picture, Placed
from elec.write.pdf.paper import MM, colour, font


def draw_picture(canvas: Any, picture: Picture, scale: float) -> None:
    """Draw a chart with its lower left corner at the origin of the canvas, so much larger."""
    canvas.saveState()
    canvas.scale(scale, scale)
    canvas.setLineJoin(1)
    Pen(canvas, picture.height_mm).draw(picture.ink)
    canvas.restoreState()


class Pen:
    """Draws ink; it changes colour, width and dash only where they change."""

    def __init__(self, canvas: Any, height_mm: float) -> None:
        """Begin with nothing set."""
        self.canvas = canvas
        self.height_mm = height_mm
        self._set: dict[str, Any] = {}

    def draw(self, inks: Iterable[Ink]) -> None:
        """Draw ink in its order; neighbouring texts, and lines of one style, go together."""
        for style, run in groupby(inks, key=_kind):
            if style == "text":
                self._texts([ink for ink in run if isinstance(ink, Lettering)])
            elif style == "one":
                for ink in run:
                    self._one(ink)
            else:
                self._lines([ink for ink in run if isinstance(ink, InkPath)])

    def _x(self, x_mm: float) -> float:
        return x_mm * MM

    def _y(self, y_mm: float) -> float:
        return (self.height_mm - y_mm) * MM

    def _one(self, ink: Ink) -> None:
        match ink:
            case Lettering():
                self._texts([ink])
            case InkPath():
                self._area(ink)
            case Circle():
                self._circle(ink)
            case Arc():
                self._arc(ink)
            case Placed():
                self._symbol(ink)
            case _:
                assert_never(ink)

    def _circle(self, ink: Circle) -> None:
        self._paint(ink.fill)
        self._stroke(ink.width_mm, ink.colour, ink.dash)
        x, y = ink.centre
        filled = int(ink.fill is not None)
        self.canvas.circle(self._x(x), self._y(y), ink.radius_mm * MM, stroke=1, fill=filled)

    def _arc(self, ink: Arc) -> None:
        self._stroke(ink.width_mm, ink.colour, ())
        (x, y), (rx, ry) = ink.centre, ink.radii_mm
        box = (self._x(x - rx), self._y(y + ry), self._x(x + rx), self._y(y - ry))
        self.canvas.arc(*box, startAng=ink.start_deg, extent=ink.turn_deg)

    def _symbol(self, ink: Placed) -> None:
        """A symbol, which the file keeps once as a form of this name; a dash would go on in it."""
        self._once("dash", (), self.canvas.setDash)
        self.canvas.saveState()
        self.canvas.translate(self._x(ink.at[0]), self._y(ink.at[1]))
        self.canvas.scale(ink.scale, ink.scale)
        self.canvas.doForm(f"symbol-{ink.name}")
        self.canvas.restoreState()

    def _lines(self, inks: Sequence[InkPath]) -> None:
        """Lines of one style as one path."""
        self._stroke(inks[0].width_mm, inks[0].colour, inks[0].dash)
        path = self.canvas.beginPath()
        for ink in inks:
            self._along(path, ink)
        self.canvas.drawPath(path, stroke=1, fill=0)

    def _area(self, ink: InkPath) -> None:
        self._paint(ink.fill)
        drawn, filled = int(ink.width_mm > 0), int(ink.fill is not None)
        if drawn:
            self._stroke(ink.width_mm, ink.colour, ink.dash)
        if ink.corner_mm:
            (x0, y0), (x1, y1) = ink.points[0], ink.points[2]
            place = (self._x(x0), self._y(y1), (x1 - x0) * MM, (y1 - y0) * MM)
            self.canvas.roundRect(*place, ink.corner_mm * MM, stroke=drawn, fill=filled)
            return
        path = self.canvas.beginPath()
        self._along(path, ink)
        self.canvas.drawPath(path, stroke=drawn, fill=filled)

    def _along(self, path: Any, ink: InkPath) -> None:
        for number, (x, y) in enumerate(ink.points):
            (path.lineTo if number else path.moveTo)(self._x(x), self._y(y))
        if ink.closed:
            path.close()

    def _texts(self, inks: Sequence[Lettering]) -> None:
        """Texts as one text object; what it sets is not kept for what follows."""
        out = self.canvas.beginText()
        last: tuple[str | float | None, ...] = (None,) * 4
        for ink in inks:
            size = round(metrics.font_size_mm(ink.capital_mm) * MM, 3)
            look = (font(bold=ink.bold), size, ink.colour, metrics.NARROW * ink.narrow)
            if look != last:
                out.setFont(look[0], look[1])
                if look[2] != last[2]:
                    out.setFillColor(colour(look[2]))
                if look[3] != last[3]:
                    out.setHorizScale(100 * look[3])
                last = look
            left = 0.0
            if ink.align != "left":
                wide = look[3] * metrics.width_em(ink.text, ink.bold) * size
                left = wide / 2 if ink.align == "center" else wide
            x, y = self._x(ink.at[0]), self._y(ink.at[1])
            if ink.turned:
                out.setTextTransform(0, 1, -1, 0, x, y - left)
            else:
                out.setTextOrigin(x - left, y)
            out.textOut(ink.text)
        out.setHorizScale(100)
        self.canvas.drawText(out)
        self._set.pop("fill", None)

    def _paint(self, fill: str | None) -> None:
        if fill is not None:
            self._once("fill", colour(fill), self.canvas.setFillColor)

    def _stroke(self, width_mm: float, stroke: str, dash: tuple[float, ...]) -> None:
        self._once("width", round(width_mm * MM, 3), self.canvas.setLineWidth)
        self._once("stroke", colour(stroke), self.canvas.setStrokeColor)
        self._once("dash", tuple(round(d * MM, 3) for d in dash), self.canvas.setDash)

    def _once(self, name: str, value: Any, change: Any) -> None:
        if self._set.get(name, () if name == "dash" else None) != value:
            self._set[name] = value
            change(value)


def _kind(ink: Ink) -> str | tuple[float, str, tuple[float, ...]]:
    """How ink is drawn: with other texts, alone, or with other lines of the same style."""
    if isinstance(ink, Lettering):
        return "text"
    if isinstance(ink, InkPath) and not ink.corner_mm and not ink.fill:
        return (ink.width_mm, ink.colour, ink.dash)
    return "one"
