"""HTML to PDF by a Chromium browser that is found on the PATH; not needed for anything else.

The bytes of a PDF are the browser's: they hold a time, and differ from run to run.
"""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from chairgap.files import reason

BROWSERS = ("chromium", "chromium-browser")
TIME_LIMIT_S = 120.0
# No account, no extension, no update, no telemetry: the browser prints one local file and asks nobody.
_FLAGS = (
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--disable-extensions",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
    "--no-default-browser-check",
    "--no-pdf-header-footer",
)


class NoPdf(Exception):  # noqa: N818 - a handout without PDF is no error
    """Why there is no PDF, and what to do, in one or two sentences."""


def find_browser() -> str:
    """The first Chromium browser on the PATH. Raises NoPdf without one."""
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if found is None:
        raise NoPdf(
            "No Chromium browser was found on the PATH, so no PDF was made. Install one and run the command "
            "again, or open the HTML files in any browser and print them."
        )
    return found


def pdf_of(html: str, browser: str) -> bytes:
    """The HTML as PDF. Raises NoPdf when the browser fails or takes too long."""
    with tempfile.TemporaryDirectory(prefix="chairgap-", ignore_cleanup_errors=True) as home:
        page, printed = Path(home, "page.html"), Path(home, "page.pdf")
        page.write_bytes(html.encode("utf-8", "backslashreplace"))
        # Chromium refuses its sandbox to the administrator.
        sandbox = ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()
        command = [
            *(browser, *_FLAGS, *sandbox, f"--user-data-dir={Path(home, 'profile')}"),
            *(f"--print-to-pdf={printed}", page.as_uri()),
        ]
        try:
            subprocess.run(
                command,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                timeout=TIME_LIMIT_S,
                check=True,
            )
            return printed.read_bytes()
        except subprocess.TimeoutExpired:
            why = f"took longer than {TIME_LIMIT_S:.0f} s"
        except subprocess.CalledProcessError as error:
            why = f"left with exit code {error.returncode}"
        except OSError as error:
            why = f"made no PDF ({reason(error)})"
    raise NoPdf(
        f"{Path(browser).name} {why}, so a PDF is missing. Open the HTML files in any browser and print them."
    )
