"""How the library is built: by any C compiler, when the wheel is (pipeline/hatch_build.py).

By hand, into the source tree, after a change of the C files: `python pipeline/hatch_build.py`. Standard
library only, and nothing of chairgap: it is run before chairgap is installed.
"""

import hashlib
import os
import shlex
import shutil
import subprocess
from pathlib import Path

HERE = Path(__file__).parent
NAME = "mmff.so"
SOURCES = ("mmff.h", "mmff.c", "downhill.c")

# No contraction (a*b+c in one rounding), no use of what one machine has and another lacks: the same input
# gives the same bits. -O3 keeps to the rules of IEEE arithmetic.
_FLAGS = ("-std=c11", "-O3", "-ffp-contract=off", "-fPIC", "-shared")


def fingerprint() -> str:
    """A checksum of the sources beside this file and of how they are compiled; '' where they are missing."""
    try:
        sources = [(HERE / name).read_bytes() for name in SOURCES]
    except OSError:
        return ""
    return hashlib.sha256(b"".join([*sources, *(flag.encode() for flag in _FLAGS)])).hexdigest()


def compiler() -> list[str] | None:
    """The words that start the C compiler: those of CC, else the first one on the PATH; None without one."""
    found = next(filter(None, map(shutil.which, ("cc", "gcc", "clang"))), None)
    return shlex.split(os.environ.get("CC", "")) or (None if found is None else [found])


def build(into: Path) -> str:
    """Compile the library into a folder. Returns '' when it is there, else why it is not, for people."""
    command = compiler()
    if command is None:
        return "no C compiler (cc, gcc or clang) on the PATH"
    own = [*_FLAGS, f'-DSOURCES="{fingerprint()}"', "-o", str(into / NAME)]
    files = [str(HERE / name) for name in SOURCES if name.endswith(".c")]
    try:
        done = subprocess.run(
            [*command, *own, *files, "-lm"],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )
    except OSError as error:
        return f"no C compiler ({error})"
    return "" if done.returncode == 0 else f"{command[0]} failed: {done.stderr.strip()[-300:]}"
