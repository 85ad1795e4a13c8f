"""A real browser, Debian's Chromium without a screen, spoken to by its own protocol (Chrome DevTools)."""

from __future__ import annotations

import base64
import json
import os
import select
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.helpers.programs import need

_PATIENCE_S = 60
_QUIET = (
    *("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-extensions"),
    *("--hide-scrollbars", "--force-color-profile=srgb", "--remote-debugging-pipe"),
)


class Browser:
    """One page at a time. Messages go through two pipes, which end with the browser: nothing is left open.

    ``requests``: what the page asked for since it was opened; ``complaints``: what it wrote to its console,
    its errors among them.
    """

    def __init__(self, program: str, home: Path) -> None:
        to_child, self._out = os.pipe()
        self._in, from_child = os.pipe()
        # the browser reads messages from 3 and writes to 4; the shell moves the pipes there
        redirect = f'exec "$0" "$@" 3<&{to_child} 4>&{from_child}'
        command = ["bash", "-c", redirect, program, *_QUIET, f"--user-data-dir={home}", "about:blank"]
        with (home / "said").open("wb") as said:
            self._process = subprocess.Popen(
                command, pass_fds=(to_child, from_child), stdin=subprocess.DEVNULL, stdout=said, stderr=said
            )
        os.close(to_child)
        os.close(from_child)
        self._buffer, self._count, self._session = b"", 0, ""
        self._events: list[dict[str, Any]] = []
        self.requests: list[str] = []
        self.complaints: list[str] = []
        target = self.send("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.send("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for part in ("Page", "Runtime", "Log", "Network"):
            self.send(f"{part}.enable")

    def open(self, path: Path, width: int, height: int = 900) -> None:
        """Open a file as in a window that wide; below 600 as on a phone."""
        phone = width < 600
        self.send(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=2 if phone else 1,
            mobile=phone,
        )
        self.requests.clear()
        self.complaints.clear()
        self.send("Page.navigate", url=path.as_uri())
        self._wait_for("Page.loadEventFired")

    def ask(self, expression: str) -> Any:
        """What an expression comes to in the page, as JSON has it; a promise is waited for."""
        found = self.send("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def picture(self) -> bytes:
        """The whole page as PNG."""
        shot = self.send("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        return base64.b64decode(shot["data"])

    def printed(self) -> bytes:
        """The page as it is printed on A4, as PDF."""
        told = self.send("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
        return base64.b64decode(told["data"])

    def send(self, method: str, **parameters: object) -> dict[str, Any]:
        """Ask for something and wait for the answer."""
        self._count += 1
        message: dict[str, object] = {"id": self._count, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._count:
                assert "error" not in answer, f"{method}: {answer['error']}"
                return answer["result"]

    def close(self) -> None:
        """End it."""
        self._session = ""
        try:
            self.send("Browser.close")
        finally:
            os.close(self._out)
            os.close(self._in)
            self._process.wait(_PATIENCE_S)

    def _wait_for(self, event: str) -> None:
        self._events.clear()
        while not any(one["method"] == event for one in self._events):
            self._next()

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._buffer:
            ready, _, _ = select.select([self._in], [], [], _PATIENCE_S)
            assert ready, "the browser says nothing"
            part = os.read(self._in, 1 << 20)
            assert part, "the browser ended"
            self._buffer += part
        raw, _, self._buffer = self._buffer.partition(b"\0")
        message: dict[str, Any] = json.loads(raw)
        if "method" in message:
            self._note(message)
        return message

    def _note(self, message: dict[str, Any]) -> None:
        self._events.append(message)
        what, told = message["method"], message.get("params", {})
        if what == "Network.requestWillBeSent":
            self.requests.append(told["request"]["url"])
        elif what in ("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded"):
            self.complaints.append(json.dumps(told)[:500])


@contextmanager
def browser(home: Path) -> Iterator[Browser]:
    """A browser with a fresh ``home``; skips the test where the machine has none."""
    home.mkdir(parents=True, exist_ok=True)
    running = Browser(need("chromium"), home)
    try:
        yield running
    finally:
        running.close()
