"""An inspector with a pocket calculator: reads hand calculations back from what was printed.

In: the text of a terminal, or a page of HTML. Out: the steps as printed, and whether the printed
formula with the printed numbers gives the printed result.
"""

import math
import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser

from msgspec import Struct, field

FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt, "ln": math.log, "exp": math.exp, "min": min, "max": max,
}  # fmt: skip
"""The keys of a pocket calculator, and the greater and lesser of numbers, which needs none."""

_NUMBER = r"-?\d+(?:\.\d+)?(?:e-?\d+)?"
_QUANTITY = re.compile(rf"(?P<number>{_NUMBER}|-?∞|\?)(?P<unit>.*)")
_ASSIGNED = re.compile(r"(?P<symbol>[^\W\d]\w*) = (?P<rest>.*)")
_STEP = re.compile(r"(?P<number>\d+)\. (?P<meaning>.*)")


class Printed(Struct):
    """One step as it stands on paper."""

    number: int
    meaning: str
    symbol: str = ""
    formula: str = ""
    inserted: str = ""
    result: str = ""
    """With its unit."""
    terms: dict[str, str] = field(default_factory=dict)
    """Symbol → its number with unit, and whatever is said about it."""
    tail: list[str] = field(default_factory=list)

    @property
    def computed(self) -> bool:
        return bool(self.formula)


class Sheet(Struct):
    """One hand calculation."""

    title: str
    steps: list[Printed]
    verdict: str = ""


def number(text: str) -> str:
    """The number that a printed quantity begins with."""
    found = _QUANTITY.match(text)
    assert found, text
    return found["number"]


def half_a_digit(text: str) -> float:
    """Half of the last digit that is printed: nobody can know more of a printed number."""
    mantissa, _, exponent = text.partition("e")
    decimals = len(mantissa.partition(".")[2])
    return float(0.5 * 10.0 ** (int(exponent or 0) - decimals))


def calculated(text: str, values: dict[str, str] | None = None) -> float:
    """What the calculator shows for a printed formula, symbols replaced by printed numbers."""
    plain = text.replace("×", "*").replace("^", "**")
    names = {symbol: float(number(shown)) for symbol, shown in (values or {}).items()}
    known = {"π": math.pi, **FUNCTIONS, **names}
    return float(eval(plain, {"__builtins__": {}}, known))  # noqa: S307


def added(text: str, terms: dict[str, str]) -> float:
    """A column of numbers added up: `i1 + i2 + … + i53` names its first two and its last."""
    names = list(terms)
    if len(names) < 4 or text != f"{names[0]} + {names[1]} + … + {names[-1]}":
        raise SyntaxError(f"{text} does not name the column {names}")
    return math.fsum(float(number(shown)) for shown in terms.values())


def faults(sheet: Sheet) -> list[str]:
    """Everything in which a printed calculation does not agree with itself."""
    found = []
    results: dict[int, Printed] = {}
    for step in sheet.steps:
        where = f"{sheet.title}, step {step.number}: {step.formula} {step.inserted} {step.result}"
        results[step.number] = step
        for symbol, shown in step.terms.items():
            earlier = re.search(r"\bstep (\d+)$", shown)
            if earlier:
                of = results.get(int(earlier[1]))
                if of is None or number(of.result) != number(shown) or of.symbol != symbol:
                    found.append(f"{where}: {symbol} = {shown} is not what step {earlier[1]} says")
        if not step.computed or number(step.result) in {"∞", "-∞", "?"}:
            continue
        printed = number(step.result)
        for text, values in ((step.formula, step.terms), (step.inserted or "", None)):
            if not text:
                continue
            try:
                shows = added(text, step.terms) if "…" in text else calculated(text, values)
            except (ArithmeticError, NameError, SyntaxError, TypeError) as error:
                found.append(f"{where}: {error!r}")
                continue
            # The calculator's answer, rounded to as many digits as are printed, is the printed
            # one; the second part is the error of adding floats, far below any printed digit.
            if abs(shows - float(printed)) > half_a_digit(printed) + 1e-12 * abs(shows):
                found.append(f"{where}: the calculator shows {shows!r}")
    return found


def sheets(text: str) -> list[Sheet]:
    """The hand calculations in what was printed on a terminal of any width, or into a pipe."""
    found: list[Sheet] = []
    block: list[str] = []
    title = ""
    for line in [*text.splitlines(), ""]:
        if line.strip():
            block.append(line)
            continue
        if block and _STEP.match(block[0]) and any(re.match(r" +\S+ = ", ln) for ln in block):
            step = _step(block)
            if step.number == 1:
                found.append(Sheet(title=title, steps=[]))
            found[-1].steps.append(step)
        elif block:
            title = " ".join(part.strip() for part in block)
            if found and re.search(r"It (passes|fails)\.$", title):
                found[-1].verdict = title
        block = []
    return found


def _step(block: list[str]) -> Printed:
    head = _STEP.match(block[0])
    assert head
    step = Printed(number=int(head["number"]), meaning=head["meaning"])
    for item in _items(block[1:], len(head["number"]) + 2):
        if item.startswith("= "):
            step.inserted, step.result = step.result, item[2:]
            continue
        assigned = _ASSIGNED.match(item)
        if assigned and not step.symbol:
            step.symbol, step.formula = assigned["symbol"], assigned["rest"]
        elif assigned:
            step.terms[assigned["symbol"]] = assigned["rest"]
        elif not step.symbol:
            step.meaning += " " + item
        else:
            step.tail.append(item)
    if not step.result:  # a value that was looked up has no formula
        step.formula, step.result = "", step.formula
    return step


def _items(lines: list[str], indent: int) -> Iterator[str]:
    """Lines of a step, each with those that continue it."""
    found: list[tuple[int, str]] = []
    for line in lines:
        depth = len(line) - len(line.lstrip())
        text = line.strip()
        new = text.startswith("= ") or not found or depth <= found[-1][0]
        new = new or _ASSIGNED.match(text) is not None
        if new:
            found.append((depth, text))
        else:
            found[-1] = (found[-1][0], f"{found[-1][1]} {text}")
    assert all(depth >= indent for depth, _ in found), lines
    return iter([text for _, text in found])


class _Page(HTMLParser):
    """Collects the lists of steps of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: list[Sheet] = []
        self.stack: list[tuple[str, str]] = []
        self.text = ""
        self.parts: list[str] = []

    @property
    def step(self) -> Printed:
        return self.sheets[-1].steps[-1]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        name = dict(attrs).get("class") or ""
        if tag in {"br", "meta", "input", "link", "img"}:
            return
        self.stack.append((tag, name))
        if (tag, name) == ("ol", "steps"):
            self.sheets.append(Sheet(title=f"list {len(self.sheets) + 1}", steps=[]))
        elif tag == "li" and self._inside("ol", "steps") and not self._inside("ul"):
            self.sheets[-1].steps.append(Printed(number=len(self.sheets[-1].steps) + 1, meaning=""))
        elif tag == "sup":
            self.text += "^"
        elif name == "sum":
            self.text, self.parts = "", []
        elif tag in {"p", "li"} or (tag in {"span", "b"} and self._inside("p", "sum")):
            self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_endtag(self, tag: str) -> None:
        if not self.stack or self.stack[-1][0] != tag:
            return
        _, name = self.stack.pop()
        if not self._inside("ol", "steps") or not self.sheets[-1].steps:
            return
        text = " ".join(self.text.split())
        if tag in {"span", "b"} and self._inside("p", "sum"):
            self.parts.append(text)
        elif name == "sum":
            _sums(self.step, self.parts)
        elif tag == "p" and not name:
            self.step.meaning = text
        elif tag == "li" and self._inside("ul"):
            assigned = _ASSIGNED.match(text)
            assert assigned, text
            self.step.terms[assigned["symbol"]] = assigned["rest"]

    def _inside(self, tag: str, name: str | None = None) -> bool:
        return any(one == tag and name in (None, of) for one, of in self.stack)


def _sums(step: Printed, parts: list[str]) -> None:
    first = _ASSIGNED.match(parts[0])
    assert first, parts
    step.symbol = first["symbol"]
    if len(parts) == 1:
        step.result = first["rest"]
        return
    step.formula = first["rest"]
    step.inserted = parts[1].removeprefix("= ") if len(parts) == 3 else ""
    step.result = parts[-1].removeprefix("= ")


def sheets_of_page(html: str) -> list[Sheet]:
    """The hand calculations on a page of HTML."""
    page = _Page()
    page.feed(html)
    return [sheet for sheet in page.sheets if sheet.steps]
