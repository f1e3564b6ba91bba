"""Sections and what stands in them as markup.

In: a page, which gives each id once, and what a book is made of. Out: markup; every text of a
builder goes through `plain` or `prose`, which escape it.
"""

from collections.abc import Iterable

from elec.finding import SIGNS, Finding
from elec.pages.document import (
    Block,
    Figure,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.glance import Answer, AnswerBar
from elec.pages.table import Table
from elec.pages.told import Told, told
from elec.write.html_page import HtmlPage, VerdictGroup
from elec.write.html_steps import escaped
from elec.write.values import clean, glued

_LEAST_HEADING = 6
_LONGEST_LABEL = 36
"""Words under a bar with more characters stand over it."""
_FRAME = '<div class="frame" tabindex="0" role="region" aria-label='


def plain(text: str) -> str:
    """A text as it is, for markup."""
    return escaped(clean(text))


def prose(text: str) -> str:
    """Text for reading, for markup: a number and its unit stay on one line."""
    return escaped(glued(clean(text)))


def contents(page: HtmlPage, sections: Iterable[Section]) -> str:
    """The table of contents."""
    entries = []
    for one in sections:
        if one.paper:
            inner = contents(page, one.sections) if one.sections and not page.light else ""
            entries.append(f'<li><a href="#{escaped(one.id)}">{plain(one.title)}</a>{inner}</li>\n')
    return f"<ol>\n{''.join(entries)}</ol>\n"


def section(page: HtmlPage, one: Section, level: int) -> str:
    """A section with its heading, folded or packed as it stands in the page."""
    way = page.way(one, level)
    kinds = [f"level-{level}"]
    kinds += ["new-page"] if one.new_page else []
    kinds += [] if one.paper else ["screen"]
    kinds += ["folds"] if way != "open" else []
    kinds += ["only-sheets"] if page.only_sheets(one) else []
    kinds += ["only-workings"] if page.only_workings(one) else []
    kinds += ["wide"] if page.lies(one) else []
    heading = f"h{min(level, _LEAST_HEADING)}"
    begin = f'<section id="{escaped(page.once(one.id))}" class="{" ".join(kinds)}">\n'
    held = _inside(page, one, level)
    if way == "plain":
        held = f'<noscript class="held">{held}</noscript>'
    elif way == "packed":
        held = (
            '<noscript><p class="note">Packed to keep this page light: it opens with scripts '
            "allowed, and stands in the PDF and in the tables folder.</p></noscript>\n"
            f'<script type="text/plain" class="packed">{page.packed(held)}</script>'
        )
    return f"{begin}<{heading}>{plain(one.title)}</{heading}>\n{held}\n</section>\n"


def _inside(page: HtmlPage, one: Section, level: int) -> str:
    blocks = [_block(page, block, one) for block in one.blocks]
    inner = [f"{section(page, each, level + 1)}\n" for each in one.sections]
    return "".join([*blocks, *inner])


def _block(page: HtmlPage, block: Block, within: Section) -> str:
    match block:
        case Paragraph():
            return f"{_paragraph(block)}\n"
        case Items():
            return f"{_items(block, within)}\n"
        case TableBlock():
            return f"{_table(page, block.table, within)}\n"
        case Figure():
            return f"{_figure(page, block)}\n"
        case FindingList():
            return f"{_findings(page, block)}\n"
        case WorkingBlock():
            return _working(page, block)


def _working(page: HtmlPage, block: WorkingBlock) -> str:
    home = page.home(block.working)
    place = f' id="{escaped(home)}"' if home else ""
    return (
        f'<details class="working">\n<summary>{plain(block.working.title)}</summary>\n'
        f"<div{place}>{page.steps(block.working)}</div>\n</details>\n"
    )


def _paragraph(block: Paragraph) -> str:
    if block.kind == "caution":
        sign = '<strong><span aria-hidden="true">⚠</span> Caution</strong>'
        return f'<p class="caution">{sign} {prose(block.text)}</p>\n'
    if block.kind == "verbatim":
        lines = "".join(f"{plain(line)}\n" for line in block.text.splitlines())
        return f"<pre>\n{lines}</pre>\n"
    return f'<p class="{block.kind}">{prose(block.text)}</p>\n'


def _items(block: Items, within: Section) -> str:
    if not block.boxes:
        lines = "".join(f'<li class="entry">{prose(item)}</li>\n' for item in block.items)
        return f'<ul class="items">\n{lines}</ul>\n'
    boxes = "".join(
        '<li class="entry"><label><input type="checkbox" autocomplete="off" '
        f'data-tick="{escaped(within.id)}: {plain(item)}"> <span>{prose(item)}</span></label>'
        "</li>\n"
        for item in block.items
    )
    return f'<ul class="items boxes">\n{boxes}</ul>\n'


def _table(page: HtmlPage, table: Table, within: Section) -> str:
    title = plain(table.title)
    cards = f' class="cards {page.headed(table)}"' if page.carded(table) else ""
    caption = ' class="vh"' if table.title == within.title else ""
    heads = []
    for head in page.heads(table):
        kind = f' class="{head.kind.strip()}"' if head.kind else ""
        unit = f' <span class="unit">{escaped(head.unit)}</span>' if head.unit else ""
        heads.append(f'<th scope="col"{kind}>{escaped(head.text)}{unit}</th>\n')
    nothing = f'<tr><td colspan="{max(len(table.columns), 1)}">Nothing to list.</td></tr>\n'
    left_out = (
        f'<p class="note on-paper">No room on paper for: {escaped(page.left_out(table))}. '
        "They are in tables.xlsx and in the tables folder.</p>\n"
        if page.off_paper(table)
        else ""
    )
    marks = "".join(
        f'<span class="mark {verdict}">{_sign(verdict)} {verdict}</span> '
        for verdict in page.marked(table)
    )
    note = f'<p class="note">{marks}{prose(table.note)}</p>\n' if table.note or marks else ""
    return (
        f'<div class="table" id="{escaped(page.once(table.id))}">\n{_FRAME}"{title}">\n'
        f"<table{cards}>\n<caption{caption}>{title}</caption>\n"
        f"<thead><tr>\n{''.join(heads)}</tr></thead>\n"
        f"<tbody>\n{page.rows(table) if table.rows else nothing}</tbody>\n</table>\n</div>\n"
        f"{left_out}{note}</div>\n"
    )


def _sign(verdict: str) -> str:
    return f'<span aria-hidden="true">{SIGNS[verdict]}</span>'


def _figure(page: HtmlPage, block: Figure) -> str:
    waits = page.waits(block)
    kind = f"sheet {page.sheet_page(block)}" if block.sheet else "chart"
    kind += " small" if block.small and not block.sheet else ""
    own = "" if page.own_id(block) else f' id="{escaped(page.once(block.id))}"'
    also = "".join(f'<a id="{escaped(page.once(name))}"></a>' for name in block.also)
    shape = f' style="aspect-ratio:{page.shape(block)}"' if waits else ""
    held = page.svg(block)
    if waits:
        held = f'<noscript class="held">{held}</noscript>'
    lines = "".join(f"<li>{prose(line)}</li>\n" for line in block.words)
    words = (
        f'<details class="words">\n<summary>The same in words</summary>\n<ul>\n{lines}</ul>\n'
        "</details>\n"
    )
    title = plain(block.title)
    return (
        f'<figure class="{kind}{" waits" if waits else ""}"{own}>\n{also}{_FRAME}"{title}"{shape}>'
        f"\n{held}\n</div>\n"
        f"<figcaption><b>{title}</b> {prose(block.description)}</figcaption>\n"
        f"{words if lines else ''}</figure>\n"
    )


def _findings(page: HtmlPage, block: FindingList) -> str:
    counts = "".join(
        f'<li class="mark {group.verdict}">{_sign(group.verdict)} <b>{len(group.findings)}</b> '
        f"{group.word}</li>\n"
        for group in page.counts(block)
    )
    groups = page.groups(block)
    against = [
        f"{_told(page, one, block)}\n"
        for group in groups
        if group.verdict != "pass"
        for one in told(group.findings)
    ]
    passed = [_passes(page, group) for group in groups if group.verdict == "pass"]
    return f'<ul class="counts">\n{counts}</ul>\n{"".join([*against, *passed])}'


def _passes(page: HtmlPage, group: VerdictGroup) -> str:
    checks = []
    for passed in page.by_check(group.findings):
        rows = "".join(_passed(page, finding, passed.check) for finding in passed.findings)
        about = f"{len(passed.findings)} · {plain(passed.sources)}"
        checks.append(
            f'{_FRAME}"What passes {escaped(passed.check)}">\n<table>\n'
            f'<caption>{escaped(passed.check)} <span class="unit">{about}</span></caption>\n'
            '<thead class="vh"><tr><th scope="col">About</th><th scope="col">Finding</th></tr>'
            f"</thead>\n<tbody>\n{rows}</tbody>\n</table>\n</div>\n"
        )
    return (
        f'<details class="passes">\n<summary>The {len(group.findings)} that pass</summary>\n'
        f"{''.join(checks)}</details>\n"
    )


def _passed(page: HtmlPage, finding: Finding, check: str) -> str:
    said = prose(finding.sentence)
    if finding.working:
        shows = f'<p class="title">{plain(finding.working.title)}</p>{page.steps(finding.working)}'
        said = (
            f'<details class="why" name="why"><summary>{said}</summary>'
            f'<div class="panel">{shows}</div></details>'
        )
    word = f'<span class="vh">pass {escaped(check)}</span>'
    mark = f'<span class="mark pass">{_sign("pass")}{word}</span>'
    return (
        f'<tr class="entry"{page.by(finding)}>\n<th scope="row">{mark} {plain(finding.about)}</th>'
        f"\n<td>{said}</td>\n</tr>\n"
    )


def _told(page: HtmlPage, group: Told, block: FindingList) -> str:
    """What one check says of one verdict."""
    first, alone = group.findings[0], group.alone
    own = page.told_id(first)
    place = f' id="{escaped(own)}"' if own else ""
    entry, by = (" entry", page.by(first)) if alone else ("", "")
    mark = f'<span class="mark {group.verdict}">{_sign(group.verdict)} {group.verdict}</span>'
    about = plain(first.about if alone else group.count)
    where = f' <span class="place">{plain(str(first.place))}</span>' if alone else ""
    if alone:
        said = "".join(f"<p>{prose(line)}</p>\n" for line in first.sentence.splitlines())
    else:
        items = "".join(
            f'<li class="entry"{page.by(finding)}><b>{plain(finding.about)}</b>: '
            f'{prose(group.item(finding))} <span class="place">{plain(str(finding.place))}</span>'
            "</li>\n"
            for finding in group.findings
        )
        said = f"<ul>\n{items}</ul>\n"
    remedies = "".join(
        f'<p class="remedy"><span aria-hidden="true">→</span> {prose(remedy)}</p>\n'
        for remedy in group.remedies
    )
    reasons = "".join(
        f'<p class="reason"><b>Accepted:</b> {plain(reason)}</p>\n' for reason in group.reasons
    )
    sources = "; ".join(group.sources)
    named = f'<p class="source">{plain(sources)}</p>\n' if group.sources else ""
    workings = "".join(
        f'<details class="working{"" if page.last(finding, block) else " again"}">\n'
        f"<summary>How it was worked out{'' if alone else f': {plain(finding.about)}'}</summary>\n"
        f"{page.steps(finding.working)}\n</details>\n"
        for finding in group.findings
        if finding.working
    )
    return (
        f'<article class="finding {group.verdict}{entry}"{place}{by}>\n'
        f'<h4>{mark} <span class="about">{about}</span> '
        f'<span class="check">{escaped(group.check)}</span>{where}</h4>\n'
        f"{said}{remedies}{reasons}{named}{workings}</article>\n"
    )


def glance(page: HtmlPage, answers: Iterable[Answer]) -> str:
    """The first screen: the questions that are asked first, answered."""
    said = "".join(_answer(page, answer) for answer in answers)
    return (
        '<section id="glance" class="glance" aria-label="The answers at a glance">\n'
        f"{said}</section>\n"
    )


def _answer(page: HtmlPage, answer: Answer) -> str:
    before = ""
    if answer.before:
        before = '<p class="of-before">Of before the last save; computed again …</p>\n'
    elif answer.supposed:
        before = (
            '<p class="of-before">With gauges and devices of before the last save; they are '
            "chosen again …</p>\n"
        )
    mark = ""
    if answer.verdict:
        word = f'<span class="vh">{answer.verdict}: </span>'
        mark = f'<span class="mark {answer.verdict}">{_sign(answer.verdict)}{word}</span> '
    lines = "".join(
        _answer_line(page, text, ref, helps="".join(answer.helps[k : k + 1]))
        for k, (text, ref) in enumerate(answer.lines)
    )
    bars = "".join(_bar(page, bar) for bar in answer.bars)
    listed = f"<ul>\n{lines}</ul>\n" if lines else ""
    drawn = f'<ul class="bars">\n{bars}</ul>\n' if bars else ""
    return (
        f'<article class="answer {answer.verdict}{" old" if answer.before else ""}">\n'
        f'<h2><a href="#{escaped(answer.ref)}">{plain(answer.question)}</a></h2>\n{before}'
        f"<p>{mark}{prose(answer.text)}</p>\n"
        f"{listed}{drawn}</article>\n"
    )


def _answer_line(page: HtmlPage, text: str, ref: str, *, helps: str) -> str:
    said = f'<a href="#{escaped(ref)}">{prose(text)}</a>' if page.known(ref) else prose(text)
    arrow = '<span aria-hidden="true">→</span>'
    helping = f'<span class="helps">{arrow} {prose(helps)}</span>' if helps else ""
    return f"<li>{said}{helping}</li>\n"


def _bar(page: HtmlPage, bar: AnswerBar) -> str:
    wordy = ' class="wordy"' if len(bar.label) > _LONGEST_LABEL else ""
    limit = (
        "" if bar.limit is None else f'<b style="left:{page.percent(bar.limit, bar.whole)}%"></b>'
    )
    mark = ""
    if bar.verdict and bar.verdict != "pass":
        word = f'<span class="vh">{bar.verdict}</span>'
        mark = f'<span class="mark {bar.verdict}">{_sign(bar.verdict)}{word}</span> '
    width = page.percent(bar.value, bar.whole)
    return (
        f'<li{wordy}><span class="label">{prose(bar.label)}</span>'
        f'<span class="bar" aria-hidden="true"><i class="{bar.verdict}" style="width:{width}%">'
        f'</i>{limit}</span><span class="value">{mark}{prose(bar.text)}</span></li>\n'
    )
