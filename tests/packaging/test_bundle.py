"""The bundled libraries of the page are what their command makes, byte for byte, and README.md names them."""

import hashlib
import subprocess
from pathlib import Path

from bundle_libraries import LIBRARIES, PACKAGES, VENDOR, bundles

from machine import missing


def test_checksums_and_versions_are_those_that_are_written_down() -> None:
    for library in LIBRARIES:
        digest = hashlib.sha256((VENDOR / f"{library}.js").read_bytes()).hexdigest()
        assert (VENDOR / f"{library}.sha256").read_text() == f"{digest}  {library}.js\n"
    told = (VENDOR / "README.md").read_text()
    for package in PACKAGES:
        name, version = package.split("@")
        assert f"`{name}` {version}" in told


def test_the_bundles_made_anew_are_the_same(tmp_path: Path) -> None:
    try:
        made = bundles(tmp_path)
    except FileNotFoundError as error:
        missing("npm", str(error))
    except subprocess.CalledProcessError as error:
        missing("a package of npm", error.stderr.decode(errors="replace")[-300:])
    for library, (content, licence) in made.items():
        assert content == (VENDOR / f"{library}.js").read_bytes()
        assert licence == (VENDOR / f"{library}.LICENSE").read_bytes()
