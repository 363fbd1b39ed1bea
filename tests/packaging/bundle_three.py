"""Makes the one bundled JavaScript library of the page anew, from npm: python tests/packaging/bundle_three.py

Package, versions, licence and checksum stand in pipeline/chairgap/page/vendor/README.md.
"""

import hashlib
import shutil
import subprocess
import tempfile
from pathlib import Path

VENDOR = Path(__file__).resolve().parents[2] / "pipeline" / "chairgap" / "page" / "vendor"
PACKAGES = ("three@0.187.0", "esbuild@0.28.2")
OPTIONS = (
    "--bundle",
    "--minify",
    "--format=iife",
    "--global-name=Three",
    "--legal-comments=inline",
    "--charset=ascii",
    "--target=es2022",
)


def bundle(folder: Path) -> tuple[bytes, bytes]:
    """The bundle and the licence of three, made in an empty folder. Raises CalledProcessError when npm or
    esbuild fail."""
    npm = shutil.which("npm")
    if npm is None:
        raise FileNotFoundError("npm is not installed (Debian: apt-get install npm).")
    quiet = ("--no-audit", "--no-fund", "--ignore-scripts", "--loglevel=error")
    (folder / "package.json").write_text('{"private": true}\n')
    subprocess.run([npm, "install", *quiet, *PACKAGES], cwd=folder, check=True, capture_output=True)
    shutil.copy(VENDOR / "entry.js", folder / "entry.js")
    made = subprocess.run(
        [folder / "node_modules" / ".bin" / "esbuild", "entry.js", *OPTIONS],
        cwd=folder,
        check=True,
        capture_output=True,
    )
    return made.stdout, (folder / "node_modules" / "three" / "LICENSE").read_bytes()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as temporary:
        content, licence = bundle(Path(temporary))
    (VENDOR / "three.js").write_bytes(content)
    (VENDOR / "three.LICENSE").write_bytes(licence)
    digest = hashlib.sha256(content).hexdigest()
    (VENDOR / "three.sha256").write_text(f"{digest}  three.js\n")
