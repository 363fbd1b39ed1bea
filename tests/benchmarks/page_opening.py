"""Size of the page of 12, 64 and 500 molecules and how long a browser takes to open it; of the pages of
another version as well, as ratios. Five openings each, turn about.

PYTHONPATH=tests:tests/page python tests/benchmarks/page_opening.py [FOLDER]

FOLDER holds pages of another version as 12.html, 64.html, 500.html; with --keep FOLDER they are put there.
"""

import argparse
import shutil
import statistics
import tempfile
from pathlib import Path

from browser import playwright_with_browser
from page_outcomes import written_large

LOADED_MS = "performance.getEntriesByType('navigation')[0].duration"
COUNTS = (12, 64, 500)
TIMES = 5


def opening_ms(start, pages: list[Path]) -> list[float]:
    """For each page milliseconds from asking for it until everything in it is loaded and drawn; median."""
    found: list[list[float]] = [[] for _ in pages]
    for _ in range(TIMES):
        for took, file in zip(found, pages, strict=True):
            browser = start()
            page = browser.new_page()
            page.goto(file.as_uri())
            page.wait_for_timeout(100)
            took.append(page.evaluate(LOADED_MS))
            browser.close()
    return [statistics.median(took) for took in found]


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("against", nargs="?", type=Path)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary, playwright_with_browser() as start:
        pages = [written_large(count, Path(temporary) / str(count)) for count in COUNTS]
        if asked.keep:
            asked.keep.mkdir(parents=True, exist_ok=True)
            for count, page in zip(COUNTS, pages, strict=True):
                shutil.copyfile(page, asked.keep / f"{count}.html")
        others = [asked.against / f"{count}.html" for count in COUNTS] if asked.against else []
        took = opening_ms(start, [*pages, *others])
        for number, count in enumerate(COUNTS):
            size_mb = pages[number].stat().st_size / 1e6
            line = f"{count} molecules: {size_mb:.2f} MB, opened in {took[number]:.0f} ms"
            if others:
                other_mb = others[number].stat().st_size / 1e6
                ratios = size_mb / other_mb, took[number] / took[number + len(COUNTS)]
                line += f"; ratios to the other page {ratios[0]:.2f} and {ratios[1]:.2f}"
            print(line)
        print(f"500 to 12: {took[-1 - len(others)] / took[0]:.2f}")


if __name__ == "__main__":
    main()
