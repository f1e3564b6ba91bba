"""The page beside the editor: what a save changes is told, and nobody else is answered."""

import http.client
import json
import threading
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.check import ids
from elec.live.answers import Answers, SoFar
from elec.live.server import serving, watch
from elec.live.watched import News, Watched
from elec.pages.glance import CARRIES
from elec.read import read
from elec.study import Study
from elec.write.register import Options
from elec.write.to_html import glance_html
from tests.hostile.systems import FINCH, changed

WAITS_S = 60.0
"""For what takes a second on a machine left alone."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A small system."""
    path = tmp_path / "finch.yaml"
    path.write_text(FINCH, encoding="utf-8")
    return path


@pytest.fixture
def served(file: Path) -> Iterator[tuple[Watched, int]]:
    """It is looked at, served and watched."""
    yield from _served(file)


@pytest.fixture(scope="module")
def left_alone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Watched, int]]:
    """The same for those who only ask and change nothing."""
    path = tmp_path_factory.mktemp("live") / "finch.yaml"
    path.write_text(FINCH, encoding="utf-8")
    yield from _served(path)


def _served(file: Path) -> Iterator[tuple[Watched, int]]:
    watched, stop = Watched(file), threading.Event()
    server = serving(watched, 0)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    watched.look()
    watcher = threading.Thread(target=watch, args=(watched, stop), daemon=True)
    watcher.start()
    yield watched, server.server_port
    stop.set()
    server.shutdown()
    server.server_close()
    watcher.join(WAITS_S)


def asked(
    port: int, path: str = "/", *, host: str | None = "", method: str = "GET"
) -> tuple[int, bytes, dict[str, str]]:
    """Status, body and headers of one request."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=WAITS_S)
    line.putrequest(method, path, skip_host=True)
    if host is not None:
        line.putheader("Host", host or f"127.0.0.1:{port}")
    line.endheaders()
    answer = line.getresponse()
    return answer.status, answer.read(), dict(answer.getheaders())


def test_the_page_is_served_under_the_names_of_this_machine(
    left_alone: tuple[Watched, int],
) -> None:
    """By address and as localhost; with its policy, and nothing kept by the browser."""
    watched, port = left_alone
    for host in ("", f"localhost:{port}"):
        status, body, headers = asked(port, host=host)
        assert (status, body) == (200, watched.page)
    assert b"data-live" in watched.page
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "localhost", "127.0.0.1:1", "evil.example:80", None]
)
def test_a_foreign_name_gets_nothing(left_alone: tuple[Watched, int], host: str | None) -> None:
    """A foreign site whose name leads here asks under that name."""
    status, body, _ = asked(left_alone[1], host=host)
    assert (status, body) == (403, b"")


@pytest.mark.parametrize(
    "path",
    ["/../../etc/passwd", "//etc/passwd", "/etc/passwd", "/%2e%2e/finch.yaml", "/finch.yaml",
     "/?x", "/news/..", "/<script>"],
)  # fmt: skip
def test_no_other_path_is_there(left_alone: tuple[Watched, int], path: str) -> None:
    """No file of the disk is served."""
    status, body, _ = asked(left_alone[1], path)
    assert (status, body) == (404, b"")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])
def test_no_other_method_is_answered(left_alone: tuple[Watched, int], method: str) -> None:
    """Nothing can be written through it."""
    status, body, _ = asked(left_alone[1], method=method)
    assert status == 501
    assert b"Finch" not in body


def test_a_huge_request_is_refused(left_alone: tuple[Watched, int]) -> None:
    """And the next one is answered."""
    assert asked(left_alone[1], "/" + "a" * 70_000)[0] in (400, 414)
    assert asked(left_alone[1])[0] == 200


def test_it_listens_to_this_machine_alone(file: Path) -> None:
    """Bound to the loopback address."""
    server = serving(Watched(file), 0)
    assert server.server_address[0] == "127.0.0.1"
    server.server_close()


def until(watched: Watched, number: int, wanted: Callable[[News], bool]) -> list[News]:
    """All that is told from then on, to the first that is wanted."""
    told: list[News] = []
    while not told or not wanted(told[-1]):
        news = watched.after(number, WAITS_S)
        assert news is not None, told
        told.append(news)
        number = news.number
    return told


def test_a_save_tells_what_it_changed_and_marks_the_page_until_it_is_new(
    served: tuple[Watched, int], file: Path
) -> None:
    """At once that the page is of before, then what differs, at last a page of the next number."""
    watched, _ = served
    before, page = watched.news, watched.page
    file.write_text(changed(("draw: 2 A", "draw: 30 A")), encoding="utf-8")
    told = until(watched, before.number, lambda news: news.page > before.page)
    *others, last = told
    assert all(news.before and news.page == before.page for news in others)
    assert not last.before
    assert watched.page != page
    assert last.told.asked == last.told.of == len(ids())
    assert any("does" in text.lower() or "of 3" in text for text in last.told.changed)
    assert last.told.changed == others[-1].told.changed


def saved(answers: Answers, file: Path, text: str) -> list[SoFar]:
    """All that is told of a text after it was saved."""
    file.write_text(text, encoding="utf-8")
    system = read(file).system
    assert system is not None
    return list(answers.again(Study(system)))


def test_what_is_told_so_far_stands_in_what_is_told_at_the_end(file: Path) -> None:
    """Piece by piece only verdicts, margins and sizes come that are the same in the end."""
    found = partial(saved, Answers(), file)
    assert not any(told.changed for told in found(FINCH))
    supposed, first, *_, last = found(changed(("draw: 2 A", "draw: 30 A")))
    assert not supposed.changed
    assert first.asked == 0
    assert first.changed
    assert set(first.changed) <= set(last.changed)
    assert len(last.changed) > len(first.changed)
    assert not any(told.changed for told in found(changed(("draw: 2 A", "draw: 30 A"))))


def test_the_first_screen_comes_answer_by_answer_and_what_is_of_before_says_so(file: Path) -> None:
    """Whether it carries comes before any check is asked; nothing of before stands unmarked."""
    found = partial(saved, Answers(), file)
    was = {one.question: one for one in found(FINCH)[-1].answers}
    _, first, *others = found(changed(("draw: 2 A", "draw: 30 A")))
    known = {one.question: one for one in others[-1].answers}
    assert was[CARRIES].text != known[CARRIES].text
    assert [one for one in first.answers if not one.before] == [known[CARRIES]]
    for told in (first, *others):
        assert [one.question for one in told.answers] == list(known)
        for one in told.answers:
            of = replace(was[one.question], before=True) if one.before else known[one.question]
            assert one == of
    assert not any(one.before for one in known.values())
    marked = glance_html(first.answers, Options())
    assert marked.count("Of before the last save") == len(first.answers) - 1
    assert "Of before the last save" not in glance_html(others[-1].answers, Options())


def test_at_once_the_sizes_of_before_are_supposed_and_it_is_said(file: Path) -> None:
    """What the sources have left stands there before gauges and devices are chosen anew."""
    found = partial(saved, Answers(), file)
    found(FINCH)
    supposed, first, *_ = found(changed(("draw: 2 A", "draw: 2.1 A")))
    one = next(a for a in supposed.answers if a.question == CARRIES)
    assert one.supposed
    assert not one.before
    assert [a.question for a in supposed.answers if not a.before] == [CARRIES]
    assert not any(a.supposed for a in first.answers)
    # so small a change moves no size: all that is printed is the same
    now = next(a for a in first.answers if a.question == CARRIES)
    assert (one.text, one.verdict) == (now.text, now.verdict)
    assert [(b.label, b.text, b.verdict) for b in one.bars] == [
        (b.label, b.text, b.verdict) for b in now.bars
    ]
    said = "With gauges and devices of before the last save"
    assert glance_html(supposed.answers, Options()).count(said) == 1
    assert said not in glance_html(first.answers, Options())


def test_sizes_of_before_are_not_supposed_where_other_wires_are_there(file: Path) -> None:
    found = partial(saved, Answers(), file)
    found(FINCH)
    first, *_ = found(changed(("draw: 2 A", "draw: 2.1 A"), ("breaker: 5 A", "breaker: 7.5 A")))
    assert not any(answer.supposed for answer in first.answers)
    assert any(not answer.before for answer in first.answers)


def test_a_text_saved_while_it_is_looked_at_is_left_for_the_next_look(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No page is made of a text that is no more; what the next one changed is told of the last
    whole answer."""
    watched = Watched(file)
    watched.look()
    page = watched.page
    file.write_text(changed(("draw: 2 A", "draw: 30 A")), encoding="utf-8")
    again = watched._answers.again

    def saved(study: Study) -> Iterator[SoFar]:
        for told in again(study):
            file.write_text(changed(("draw: 2 A", "draw: 3.25 A")), encoding="utf-8")
            yield told

    monkeypatch.setattr(watched._answers, "again", saved)
    watched.look()
    assert watched.page == page
    assert watched.news.before
    assert watched.saved
    monkeypatch.undo()
    watched.look()
    assert watched.page != page
    assert not watched.news.before


def test_a_mistake_is_told_at_its_line_and_the_page_stays(
    served: tuple[Watched, int], file: Path
) -> None:
    """Marked as of before; and when it is mended, everything goes on."""
    watched, port = served
    before, page = watched.news, watched.page
    file.write_text(FINCH.replace("buses:", "busses:"), encoding="utf-8")
    told = until(watched, before.number, lambda news: bool(news.mistakes))[-1]
    assert any("finch.yaml:" in text and "busses" in text for text in told.mistakes)
    assert told.before
    assert asked(port)[1] == page
    file.write_text(FINCH, encoding="utf-8")
    mended = until(watched, told.number, lambda news: not news.before)[-1]
    assert mended.mistakes == ()


def test_news_come_over_an_open_line(served: tuple[Watched, int]) -> None:
    """The browser hears it without asking again."""
    watched, port = served
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=WAITS_S)
    line.request("GET", "/news")
    answer = line.getresponse()
    assert answer.headers["Content-Type"].startswith("text/event-stream")
    told = json.loads(answer.fp.readline().removeprefix(b"data: "))
    assert told["page"] == watched.news.page
    assert told["before"] is False
    line.close()


def test_before_the_first_good_page_the_mistakes_stand_there(tmp_path: Path) -> None:
    """As text, whatever the file holds."""
    file = tmp_path / "bad.yaml"
    file.write_text('"<script>alert(1)</script>": 1\n', encoding="utf-8")
    watched = Watched(file)
    watched.look()
    server = serving(watched, 0)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    status, body, _ = asked(server.server_port)
    server.shutdown()
    server.server_close()
    assert status == 200
    assert b"<script>alert" not in body
    assert b"bad.yaml:1" in body
