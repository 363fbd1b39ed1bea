"""The bundled library of the page is what its command makes, byte for byte, and its README names it."""

import hashlib
import subprocess
from pathlib import Path

from bundle_three import PACKAGES, VENDOR, bundle

from machine import missing


def test_checksum_and_versions_are_those_that_are_written_down() -> None:
    digest = hashlib.sha256((VENDOR / "three.js").read_bytes()).hexdigest()
    assert (VENDOR / "three.sha256").read_text() == f"{digest}  three.js\n"
    told = (VENDOR / "README.md").read_text()
    for package in PACKAGES:
        name, version = package.split("@")
        assert f"`{name}` {version}" in told


def test_the_bundle_made_anew_is_the_same(tmp_path: Path) -> None:
    try:
        content, licence = bundle(tmp_path)
    except FileNotFoundError as error:
        missing("npm", str(error))
    except subprocess.CalledProcessError as error:
        missing("a package of npm", error.stderr.decode(errors="replace")[-300:])
    assert content == (VENDOR / "three.js").read_bytes()
    assert licence == (VENDOR / "three.LICENSE").read_bytes()
