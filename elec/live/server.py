"""Serves one page to this machine: two paths, no file of the disk, no other host by name.

Whoever asks under another name than this machine's (a page of a foreign site whose name leads
here) gets nothing; so does whoever asks for another path or by another method.
"""

import json
import threading
from contextlib import suppress
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from elec.live.watched import News, Watched
from elec.write.register import Options
from elec.write.to_html import glance_html

LOOPBACK = "127.0.0.1"
PATIENCE_S = 15.0
"""So long nothing is said on an open line; then a word, so that a closed one is noticed."""
SILENCE_S = 30.0
"""Whoever asks and then says nothing more is let go."""
DEBOUNCE_MS = 20
"""An editor that saves in several steps has saved after that."""
LOOK_MS = 500
"""So often the files are looked at where nothing is told."""
POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; "
    "connect-src 'self'; script-src 'self' 'unsafe-inline'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
"""The page's own policy in its head is narrower: it names the one script that may run."""
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}


class Handler(BaseHTTPRequestHandler):
    """Answers one request."""

    watched: Watched
    server_version = "elec"
    sys_version = ""
    timeout = SILENCE_S

    def do_GET(self) -> None:
        """The page, or news as they come."""
        if self.headers.get("Host") not in self._hosts():
            self._refuse(HTTPStatus.FORBIDDEN)
        elif self.path == "/":
            self._page()
        elif self.path == "/news":
            self._news()
        else:
            self._refuse(HTTPStatus.NOT_FOUND)

    def log_message(self, *_: Any) -> None:
        """Say nothing: the terminal shows what was saved, not who looked."""

    def _hosts(self) -> tuple[str, ...]:
        server = self.server
        assert isinstance(server, ThreadingHTTPServer)  # noqa: S101 - what `serving` makes
        port = server.server_port
        return f"{LOOPBACK}:{port}", f"localhost:{port}"

    def _head(self, status: HTTPStatus, kind: str, length: int | None) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        if length is not None:
            self.send_header("Content-Length", str(length))
        for name, value in HEADERS.items():
            self.send_header(name, value)
        self.end_headers()

    def _refuse(self, status: HTTPStatus) -> None:
        self._head(status, "text/plain; charset=utf-8", 0)

    def _page(self) -> None:
        page = self.watched.page or _waiting(self.watched.news)
        with suppress(OSError):  # whoever asked is gone
            self._head(HTTPStatus.OK, "text/html; charset=utf-8", len(page))
            self.wfile.write(page)

    def _news(self) -> None:
        self._head(HTTPStatus.OK, "text/event-stream; charset=utf-8", None)
        seen = -1
        try:
            while True:
                news = self.watched.after(seen, PATIENCE_S)
                if news is None:
                    self.wfile.write(b": still here\n\n")
                else:
                    seen = news.number
                    self.wfile.write(f"data: {json.dumps(_told(news))}\n\n".encode())
                self.wfile.flush()
        except OSError:
            return  # nobody listens any more


def _told(news: News) -> dict[str, Any]:
    return {
        "page": news.page, "before": news.before, "mistakes": list(news.mistakes),
        "changed": list(news.told.changed), "asked": news.told.asked, "of": news.told.of,
        "took": round(news.took_s, 2),
        "glance": glance_html(news.told.answers, Options()) if news.told.answers else "",
    }  # fmt: skip


def _waiting(news: News) -> bytes:
    """Before the first good page: what cannot be read, tried again every second."""
    from html import escape

    said = "\n".join(news.mistakes) or "Reading and computing …"
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>elec</title>'
        '<meta http-equiv="refresh" content="1"></head>'
        f"<body><pre>{escape(said)}</pre></body></html>"
    ).encode()


def serving(watched: Watched, port: int) -> ThreadingHTTPServer:
    """A server on the loopback address; port 0: any that is free.

    Raises:
        OSError: the port is taken.
    """
    handler = type("Asked", (Handler,), {"watched": watched})
    server = ThreadingHTTPServer((LOOPBACK, port), handler)
    server.daemon_threads = True
    return server


def watch(watched: Watched, stop: threading.Event) -> None:
    """Look again whenever a file of the system is saved, until told to stop."""
    from watchfiles import watch as changes

    path = watched.path
    folder = path if path.is_dir() else path.parent

    def ours(_: Any, name: str) -> bool:
        file = Path(name)
        return file.suffix in (".yaml", ".yml") and not file.name.startswith(".")

    # Now and then it is looked at without a word of the disk, too: some disks of other machines
    # say none, and none comes of what was saved before the watch stood.
    told = changes(
        folder, watch_filter=ours, stop_event=stop, debounce=DEBOUNCE_MS, step=DEBOUNCE_MS // 4,
        rust_timeout=LOOK_MS, yield_on_timeout=True,
    )  # fmt: skip
    for _ in told:
        if watched.saved:
            watched.look()
