"""A browser without a window, driven over a pair of pipes: the DevTools protocol, without a library between.

https://chromedevtools.github.io/devtools-protocol/: messages are JSON, each ended by a zero byte.
"""

import base64
import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
OPTIONS = (
    "--headless", "--remote-debugging-pipe", "--no-sandbox", "--disable-gpu", "--disable-quic",
    "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--hide-scrollbars",
)  # fmt: skip
# The ends of the pipes as the browser has them: it reads the first and writes the second.
READS, WRITES = 3, 4


def found() -> str | None:
    """The browser of this machine."""
    return next(filter(None, map(shutil.which, NAMES)), None)


class Page:
    """A page of a browser, and all that it has reported since it was opened."""

    def __init__(self, send: int, receive: int) -> None:
        self._send, self._receive = send, receive
        self._waiting, self._number, self._session = b"", 0, ""
        self.events: list[dict[str, Any]] = []
        target = self("Target.createTarget", url="about:blank")["targetId"]
        self._session = self("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self(f"{domain}.enable")

    def __call__(self, method: str, **params: Any) -> dict[str, Any]:
        """What a method of the protocol gives."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._send, json.dumps(message).encode() + b"\0")
        while (answer := self._next()).get("id") != self._number:
            self.events.append(answer)
        assert "error" not in answer, answer
        return answer["result"]

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._waiting:
            more = os.read(self._receive, 1 << 16)
            assert more, "the browser has ended"
            self._waiting += more
        message, _, self._waiting = self._waiting.partition(b"\0")
        return json.loads(message)

    def open(self, path: Path) -> None:
        """Open a file, and wait until it is there whole."""
        self.events.clear()
        self("Page.navigate", url=path.absolute().as_uri())
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            self.events.append(self._next())

    def run(self, script: str) -> Any:
        """The value of an expression, or of a promise, on the page."""
        done = self("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in done, done
        return done["result"].get("value")

    def look(self, width: int, *, dark: bool = False, media: str = "screen", high: int = 800) -> None:
        """Make the window so wide [px], light or dark, on screen or as on paper."""
        self(
            "Emulation.setDeviceMetricsOverride", width=width, height=high, deviceScaleFactor=1, mobile=False
        )
        scheme = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
        self("Emulation.setEmulatedMedia", media=media, features=scheme)

    def printed(self, width_in: float, height_in: float) -> bytes:
        """The page as a PDF on paper of a size."""
        done = self("Page.printToPDF", paperWidth=width_in, paperHeight=height_in, printBackground=True,
                    preferCSSPageSize=False)  # fmt: skip
        return base64.b64decode(done["data"])

    def picture(self) -> bytes:
        """All of the page as a PNG."""
        return base64.b64decode(self("Page.captureScreenshot", captureBeyondViewport=True)["data"])


@contextmanager
def browser(program: str, folder: Path) -> Iterator[Page]:
    """A page of a new browser, which ends with it.

    :param folder: empty, for what the browser keeps
    """
    from_us, to_us = os.pipe(), os.pipe()
    os.set_inheritable(from_us[0], True)
    os.set_inheritable(to_us[1], True)
    shell = f'exec "$0" "$@" {READS}<&{from_us[0]} {WRITES}>&{to_us[1]}'
    process = subprocess.Popen(
        ["bash", "-c", shell, program, *OPTIONS, f"--user-data-dir={folder}"],
        pass_fds=(from_us[0], to_us[1]), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(from_us[0])
    os.close(to_us[1])
    try:
        yield Page(from_us[1], to_us[0])
    finally:
        process.terminate()
        process.wait(timeout=30)
        os.close(from_us[1])
        os.close(to_us[0])
