"""A browser driven through its pipe: real keys, a phone's size, dark, paper. Needs chromium.

What a script in the page cannot do: it can neither press Tab nor say that it is dark.
"""

import base64
import json
import os
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.write.test_browser import CHROMIUM

_READ_FD, _WRITE_FD = 3, 4
"""Where the browser reads what it is told, and writes what it answers."""
KEYS = {"Tab": 9, "Enter": 13, "Escape": 27, " ": 32, "ArrowDown": 40, "Home": 36, "End": 35}


class Browser:
    """One page of one browser."""

    def __init__(self, told: int, heard: int) -> None:
        """Take over the two ends of the pipe, and open a page."""
        self._told, self._heard = told, heard
        self._number, self._session, self._rest = 0, "", b""
        self._events: list[dict[str, Any]] = []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        found = self.call("Target.attachToTarget", targetId=target, flatten=True)
        self._session = found["sessionId"]
        self.call("Page.enable")

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """One command with its answer."""
        self._number += 1
        asked = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            asked["sessionId"] = self._session
        sent = json.dumps(asked).encode() + b"\0"
        while sent:
            sent = sent[os.write(self._told, sent) :]
        while True:
            answer = self._next()
            if answer.get("id") != self._number:
                self._events.append(answer)
            elif "error" in answer:
                raise RuntimeError(answer["error"])
            else:
                found: dict[str, Any] = answer["result"]
                return found

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            read = os.read(self._heard, 1 << 20)
            if not read:
                raise RuntimeError("the browser ended")
            self._rest += read
        message, self._rest = self._rest.split(b"\0", 1)
        found: dict[str, Any] = json.loads(message)
        return found

    def open(self, page: Path, *, hash_: str = "", wide: int = 1440, dark: bool = False) -> None:
        """Go to a page, as wide as asked, and wait until it stands there."""
        high = 844 if wide < 800 else 1000
        self.call("Emulation.setDeviceMetricsOverride", width=wide, height=high,
                  deviceScaleFactor=1, mobile=wide < 800)  # fmt: skip
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])
        self.call("Page.navigate", url="about:blank")
        self._events.clear()
        self.call("Page.navigate", url=page.as_uri() + hash_)
        while not any(event.get("method") == "Page.loadEventFired" for event in self._events):
            self._events.append(self._next())
        self.ask("new Promise((done) => setTimeout(done, 500))")

    def ask(self, script: str) -> Any:
        """What an expression in the page gives, waited for where it is a promise."""
        found = self.call("Runtime.evaluate", expression=script, awaitPromise=True,
                          returnByValue=True)  # fmt: skip
        if "exceptionDetails" in found:
            raise RuntimeError(found["exceptionDetails"])
        return found["result"].get("value")

    def press(self, key: str) -> None:
        """One key, down and up."""
        code = KEYS.get(key, ord(key[0].upper()))
        text = {"Enter": "\r"}.get(key, key if len(key) == 1 else "")
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code,
                      **({"text": text} if text and kind == "keyDown" else {}))  # fmt: skip

    def type(self, text: str) -> None:
        """Some keys."""
        for key in text:
            self.press(key)

    def paper(self) -> bytes:
        """The page as PDF."""
        found = self.call("Page.printToPDF", preferCSSPageSize=True)
        return base64.b64decode(found["data"])


@contextmanager
def browser() -> Iterator[Browser]:
    """A browser for as long as it is needed."""
    ours_in, told = os.pipe()
    heard, ours_out = os.pipe()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        command = [
            CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
            "--disable-background-networking", "--disable-component-update",
            "--remote-debugging-pipe", f"--user-data-dir={profile}",
        ]  # fmt: skip
        # The shell puts the two ends where the browser looks for them.
        shell = f'exec {_READ_FD}<&{ours_in} {_WRITE_FD}>&{ours_out}; exec "$@"'
        run = subprocess.Popen(
            ["bash", "-c", shell, "bash", *command],
            pass_fds=(ours_in, ours_out),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(ours_in)
        os.close(ours_out)
        try:
            yield Browser(told, heard)
        finally:
            run.terminate()
            run.wait()
            os.close(told)
            os.close(heard)
