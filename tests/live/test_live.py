"""The page beside the editor: what a save changes is told, and nobody else is answered."""

import http.client
import json
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from elec.live.server import serving, watch
from elec.live.watched import Watched
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


def test_the_page_is_served_under_the_names_of_this_machine(served: tuple[Watched, int]) -> None:
    """By address and as localhost; with its policy, and nothing kept by the browser."""
    watched, port = served
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
def test_a_foreign_name_gets_nothing(served: tuple[Watched, int], host: str | None) -> None:
    """A foreign site whose name leads here asks under that name."""
    status, body, _ = asked(served[1], host=host)
    assert (status, body) == (403, b"")


@pytest.mark.parametrize(
    "path",
    ["/../../etc/passwd", "//etc/passwd", "/etc/passwd", "/%2e%2e/finch.yaml", "/finch.yaml",
     "/?x", "/news/..", "/<script>"],
)  # fmt: skip
def test_no_other_path_is_there(served: tuple[Watched, int], path: str) -> None:
    """No file of the disk is served."""
    status, body, _ = asked(served[1], path)
    assert (status, body) == (404, b"")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])
def test_no_other_method_is_answered(served: tuple[Watched, int], method: str) -> None:
    """Nothing can be written through it."""
    status, body, _ = asked(served[1], method=method)
    assert status == 501
    assert b"Finch" not in body


def test_a_huge_request_is_refused(served: tuple[Watched, int]) -> None:
    """And the next one is answered."""
    assert asked(served[1], "/" + "a" * 70_000)[0] in (400, 414)
    assert asked(served[1])[0] == 200


def test_it_listens_to_this_machine_alone(served: tuple[Watched, int], file: Path) -> None:
    """Bound to the loopback address."""
    server = serving(Watched(file), 0)
    assert server.server_address[0] == "127.0.0.1"
    server.server_close()
    del served


def test_a_save_tells_what_it_changed(served: tuple[Watched, int], file: Path) -> None:
    """A load that is greater: the answer and what it was before, then a new page."""
    watched, _ = served
    before = watched.news
    file.write_text(changed(("draw: 2 A", "draw: 30 A")), encoding="utf-8")
    told = watched.after(before.number, WAITS_S)
    assert told is not None
    assert told.mistakes == ()
    assert told.changed
    fresh = watched.after(told.number, WAITS_S)
    assert fresh is not None
    assert fresh.page == before.page + 1
    assert fresh.changed == told.changed


def test_a_mistake_is_told_at_its_line_and_the_page_stays(
    served: tuple[Watched, int], file: Path
) -> None:
    """And when it is mended, everything goes on."""
    watched, port = served
    before, page = watched.news, watched.page
    file.write_text(FINCH.replace("buses:", "busses:"), encoding="utf-8")
    told = watched.after(before.number, WAITS_S)
    assert told is not None
    assert any("finch.yaml:" in text and "busses" in text for text in told.mistakes)
    assert asked(port)[1] == page
    file.write_text(FINCH, encoding="utf-8")
    mended = watched.after(told.number, WAITS_S)
    assert mended is not None
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
