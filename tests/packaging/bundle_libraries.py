"""Makes the JavaScript libraries of the page anew, from npm: python tests/packaging/bundle_libraries.py

Packages, versions, licences and checksums stand in pipeline/chairgap/page/vendor/README.md.
"""

import hashlib
import shutil
import subprocess
import tempfile
from pathlib import Path

VENDOR = Path(__file__).resolve().parents[2] / "pipeline" / "chairgap" / "page" / "vendor"
# Each library with the name under which the page's own scripts find it.
LIBRARIES = {"three": "Three", "fflate": "Fflate"}
PACKAGES = ("three@0.187.0", "fflate@0.8.3", "esbuild@0.28.2")
OPTIONS = (
    "--bundle",
    "--minify",
    "--format=iife",
    "--legal-comments=inline",
    "--charset=ascii",
    "--target=es2022",
)


def bundles(folder: Path) -> dict[str, tuple[bytes, bytes]]:
    """The bundle and the licence of each library, made in an empty folder. Raises CalledProcessError when npm
    or esbuild fail."""
    npm = shutil.which("npm")
    if npm is None:
        raise FileNotFoundError("npm is not installed (Debian: apt-get install npm).")
    quiet = ("--no-audit", "--no-fund", "--ignore-scripts", "--loglevel=error")
    (folder / "package.json").write_text('{"private": true}\n')
    subprocess.run([npm, "install", *quiet, *PACKAGES], cwd=folder, check=True, capture_output=True)
    made = {}
    for library, name in LIBRARIES.items():
        entry = f"{library}.entry.js"
        shutil.copy(VENDOR / entry, folder / entry)
        bundle = subprocess.run(
            [folder / "node_modules" / ".bin" / "esbuild", entry, *OPTIONS, f"--global-name={name}"],
            cwd=folder,
            check=True,
            capture_output=True,
        )
        made[library] = (bundle.stdout, (folder / "node_modules" / library / "LICENSE").read_bytes())
    return made


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as temporary:
        made = bundles(Path(temporary))
    for library, (content, licence) in made.items():
        (VENDOR / f"{library}.js").write_bytes(content)
        (VENDOR / f"{library}.LICENSE").write_bytes(licence)
        digest = hashlib.sha256(content).hexdigest()
        (VENDOR / f"{library}.sha256").write_text(f"{digest}  {library}.js\n")
