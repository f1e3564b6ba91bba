"""What was probably meant where a text cannot be composed at all.

In: the lines of a file, and the two places that the general parser names: where the thing that it
was reading begins, and where it gave up. Out: line, column and sentence of the likeliest slip.
"""

import re
from collections.abc import Iterator, Sequence

Slip = tuple[int, int, str]
"""Line and column, counted from 0, and what to say there."""

_UNSPACED = re.compile(r"(\s*(?:- )?)([A-Za-z][A-Za-z0-9-]*):(?![\s:/\\])(\S.*)")
_SWALLOWED = re.compile(r"(?<=\s)#\s?([0-9][0-9/]*)[^#]*[}\]]")
_FAR = 3
"""So many lines above the one that cannot be read a slip is still looked for."""


def slip(lines: Sequence[str], begin: int, column: int, end: int, context: str) -> Slip | None:
    """The likeliest slip between two lines, or None where nothing known fits.

    Args:
        lines: the whole file.
        begin: line where the thing being read begins.
        column: its column.
        end: line where reading stopped.
        context: the parser's own words.
    """
    span = [begin, *range(end, max(-1, end - _FAR - 1), -1)]
    found = _unspaced(lines, [n for n in span if n < len(lines)])
    if found is None and "flow" in context:
        found = _swallowed(lines, range(begin, min(end + 1, len(lines))))
    if found is None and "simple key" in context:
        found = _alone(lines, begin, column)
    if found is None and "block collection" in context and end < len(lines):
        found = _item(lines, end)
    if found is None and ("mapping values" in context or "block" in context):
        found = _indented(lines, end, context)
    return found


def _unspaced(lines: Sequence[str], span: Sequence[int]) -> Slip | None:
    """`nominal:14 V`."""
    for number in span:
        match = _UNSPACED.match(lines[number])
        if match:
            indent, key, rest = match.groups()
            shown = rest.split(" #")[0].rstrip()
            shown = shown if len(shown) <= 40 else shown[:37] + "..."
            return number, len(indent), f"put a space after the colon: {key}: {shown}"
    return None


def _swallowed(lines: Sequence[str], span: range) -> Slip | None:
    """`{gauge: #18}`: the bracket stands in the comment."""
    for number in span:
        match = _SWALLOWED.search(lines[number])
        if match:
            message = (
                "the # begins a comment, and the bracket behind it is not read; "
                f"write AWG {match.group(1)}"
            )
            return number, match.start(), message
    return None


def _alone(lines: Sequence[str], begin: int, column: int) -> Slip | None:
    """`buses` without its colon."""
    word = lines[begin].split("#")[0].strip() if begin < len(lines) else ""
    if not word or ":" in word:
        return None
    if re.fullmatch(r"[A-Za-z][A-Za-z0-9-]*", word):
        return begin, column, f'"{word}" stands alone; write it with a colon, {word}:'
    shown = word if len(word) <= 40 else word[:37] + "..."
    return begin, column, f'"{shown}" has no colon; a line here is written key: value'


def _item(lines: Sequence[str], end: int) -> Slip | None:
    """A line without its "- " below lines that have one."""
    match = re.match(r"\s+([a-z][a-z0-9-]*):", lines[end])
    above = next(_written(lines, end), None)
    if match is None or above is None or not lines[above].lstrip().startswith("- "):
        return None
    return end, _indent(lines[end]), (
        'the lines above begin with "- ", this one does not; is the line of a section (such as '
        f'switches:) missing above it, or "- " before {match.group(1)}?'
    )  # fmt: skip


def _indented(lines: Sequence[str], end: int, context: str) -> Slip | None:
    """A line that begins in no column of the lines it could belong to."""
    if end >= len(lines) or "\t" in lines[end][: _indent(lines[end])]:
        return None
    here, columns = _indent(lines[end]), _columns(lines, end)
    if not columns or here in columns:
        return None
    above = next(_written(lines, end))
    if here > columns[0] and ("block" in context or lines[above].rstrip().endswith(":")):
        return None
    *first, last = (str(column + 1) for column in columns)
    known = f"{', '.join(first)} or {last}" if first else last
    message = f"this line begins in column {here + 1}; the lines it could belong to begin in column"
    return end, here, f"{message} {known}"


def _columns(lines: Sequence[str], below: int) -> list[int]:
    """The columns in which a line could begin: those of the lines above that enclose it."""
    columns: list[int] = []
    for number in _written(lines, below):
        column = _indent(lines[number])
        if not columns or column < columns[-1]:
            columns.append(column)
        if column == 0:
            break
    return columns


def _written(lines: Sequence[str], below: int) -> Iterator[int]:
    """The lines above one that hold more than a comment, from the nearest on."""
    for number in range(below - 1, -1, -1):
        if lines[number].strip() and not lines[number].lstrip().startswith("#"):
            yield number


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())
