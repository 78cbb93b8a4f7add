"""A headless Chromium, spoken to through its DevTools protocol over two pipes: no other package, no open port."""

from __future__ import annotations

import base64
import contextlib
import json
import os
import pathlib
import select
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
PAPERS = {"letter": (8.5, 11.0), "a4": (210 / 25.4, 297 / 25.4)}  # inches: ANSI/ASME Y14.1, ISO 216


def program() -> str | None:
    """Path of a Chromium, None if there is none."""
    return os.environ.get("LIBSEAL_CHROMIUM") or next((path for name in NAMES if (path := shutil.which(name))), None)


class Browser:
    """One running browser. Every message that it sends is kept."""

    def __init__(self, path: str, patience: float = 180.0) -> None:
        self.patience, self.number, self.buffer, self.heard = patience, 0, b"", []  # type: ignore[var-annotated]
        self.profile = tempfile.mkdtemp(prefix="browser")
        to_read, self.to_write = os.pipe()
        self.to_hear, from_write = os.pipe()

        def place() -> None:  # the browser reads descriptor 3 and writes 4
            low = [os.dup2(to_read, 20), os.dup2(from_write, 21)]
            os.dup2(low[0], 3)
            os.dup2(low[1], 4)

        self.process = subprocess.Popen(
            [path, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--remote-debugging-pipe", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--hide-scrollbars", f"--user-data-dir={self.profile}", "about:blank"],
            close_fds=False, preexec_fn=place, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_read)
        os.close(from_write)

    def close(self) -> None:
        with contextlib.suppress(OSError, TimeoutError, RuntimeError):
            self.call("Browser.close")
        self.process.terminate()
        self.process.wait(30)
        os.close(self.to_write)
        os.close(self.to_hear)
        shutil.rmtree(self.profile, ignore_errors=True)

    def message(self, until: float) -> dict[str, Any]:
        """The next message of the browser."""
        while b"\0" not in self.buffer:
            ready, _, _ = select.select([self.to_hear], [], [], max(0.0, until - time.monotonic()))
            if not ready:
                raise TimeoutError("the browser says nothing")
            piece = os.read(self.to_hear, 1 << 20)
            if not piece:
                raise RuntimeError("the browser has ended")
            self.buffer += piece
        text, self.buffer = self.buffer.split(b"\0", 1)
        message: dict[str, Any] = json.loads(text)
        return message

    def call(self, method: str, session: str = "", **parameters: Any) -> dict[str, Any]:
        """Calls a method and waits for its answer."""
        self.number += 1
        text = {"id": self.number, "method": method, "params": parameters} | ({"sessionId": session} if session else {})
        data = json.dumps(text).encode() + b"\0"
        while data:
            data = data[os.write(self.to_write, data):]
        until = time.monotonic() + self.patience
        while True:
            message = self.message(until)
            if message.get("id") == self.number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']}")
                result: dict[str, Any] = message["result"]
                return result
            self.heard.append(message)

    def wait_for(self, method: str, session: str) -> None:
        until = time.monotonic() + self.patience
        while not any(m.get("method") == method and m.get("sessionId") == session for m in self.heard):
            self.heard.append(self.message(until))

    @contextlib.contextmanager
    def page(self, path: pathlib.Path, width: int = 1000, height: int = 1400) -> Iterator[Page]:
        """A file opened in a tab of its own."""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for part in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{part}.enable", session)
        page = Page(self, session)
        page.resize(width, height)
        self.call("Page.navigate", session, url=path.resolve().as_uri())
        self.wait_for("Page.loadEventFired", session)
        try:
            yield page
        finally:
            self.call("Target.closeTarget", targetId=target)


class Page:
    """A page that has been loaded."""

    def __init__(self, browser: Browser, session: str) -> None:
        self.browser, self.session = browser, session

    def resize(self, width: int, height: int) -> None:
        self.browser.call("Emulation.setDeviceMetricsOverride", self.session, width=width, height=height, deviceScaleFactor=1, mobile=width < 600)

    def complaints(self) -> list[str]:
        """Errors and warnings of the console, failed loads, broken rules of the page's own policy."""
        self.evaluate("1")  # so that all messages sent before are heard
        out = []
        for m in self.browser.heard:
            if m.get("sessionId") != self.session:
                continue
            what = m["params"]
            if m["method"] == "Log.entryAdded":
                out.append(what["entry"]["text"])
            elif m["method"] == "Runtime.consoleAPICalled" and what["type"] in ("error", "warning", "assert"):
                out.append(str(what["args"]))
            elif m["method"] in ("Runtime.exceptionThrown", "Network.loadingFailed"):
                out.append(str(what))
        return out

    def loads(self) -> list[str]:
        """Addresses that were asked for, without data inside the page."""
        urls = [m["params"]["request"]["url"] for m in self.browser.heard
                if m.get("sessionId") == self.session and m.get("method") == "Network.requestWillBeSent"]
        return [url for url in urls if not url.startswith("data:")]

    def evaluate(self, text: str, wait: bool = False) -> Any:
        answer = self.browser.call("Runtime.evaluate", self.session, expression=text, returnByValue=True, awaitPromise=wait)
        if "exceptionDetails" in answer:
            raise RuntimeError(str(answer["exceptionDetails"]))
        return answer["result"].get("value")

    def screenshot(self, whole: bool = True) -> bytes:
        return base64.b64decode(self.browser.call("Page.captureScreenshot", self.session, captureBeyondViewport=whole)["data"])

    def pdf(self, paper: str) -> bytes:
        """Printed on "letter" or "a4" with the page's own margins."""
        width, height = PAPERS[paper]
        return base64.b64decode(self.browser.call("Page.printToPDF", self.session, paperWidth=width, paperHeight=height, printBackground=True,
                                                  preferCSSPageSize=False)["data"])
