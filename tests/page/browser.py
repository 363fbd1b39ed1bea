"""A browser of the machine for tests of the page, or a clear word that there is none."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from machine import missing

NAMES = ("chromium", "chromium-browser", "google-chrome")
# Nothing that asks the network by itself; 3D drawn by software where there is no graphics hardware.
OPTIONS = (
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)


def browser_path() -> str:
    """The browser of the machine; skips or fails when there is none."""
    found = next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        missing("a browser", f"none of {', '.join(NAMES)} is on the path (Debian: apt-get install chromium).")
    assert found is not None
    return found


def axe_script() -> str:
    """The source of axe-core, from the file that CHAIRGAP_AXE names; skips or fails when there is none."""
    path = os.environ.get("CHAIRGAP_AXE", "")
    if not path or not Path(path).is_file():
        told = "let CHAIRGAP_AXE name axe.min.js (npm install axe-core@4.14.1)."
        missing("axe-core", told)
    return Path(path).read_text(encoding="utf-8")


@contextmanager
def playwright_with_browser() -> Iterator[Callable[..., Browser]]:
    """A function that starts the browser, with further options; what was started ends with the context."""
    path = browser_path()
    with sync_playwright() as playwright:
        yield lambda *options: playwright.chromium.launch(executable_path=path, args=[*OPTIONS, *options])


def wait_until(page: Page, function: str, argument: object = None) -> None:
    """Wait until a JavaScript function gives true. Playwright's own way compiles text inside the page, which
    the page's policy forbids."""
    for _ in range(600):
        if page.evaluate(function, argument):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never true: {function}")


class Watched:
    """A page with everything it asked for and complained of."""

    def __init__(self, page: Page, file: Path):
        self.page = page
        self.requests: list[str] = []
        self.complaints: list[str] = []
        page.on("request", lambda request: self.requests.append(request.url))
        page.on("console", lambda told: self._note(told.type, told.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.goto(file.as_uri())
        wait_until(page, "() => document.querySelector('#temperature-celsius')?.textContent !== ''")

    def _note(self, kind: str, text: str) -> None:
        if kind in ("error", "warning"):
            self.complaints.append(text)

    def asked_the_network_for(self) -> list[str]:
        """Requests for anything but the page itself and what it holds."""
        return [url for url in self.requests[1:] if not url.startswith(("blob:", "data:"))]
