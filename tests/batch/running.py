"""A study run as another process, as a user runs it, and what it leaves."""

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from chairgap.batch.store import STORE, reading_store
from chairgap.errors import ChairgapError
from study_files import SAME_BYTES

# Twelve small molecules with nine further parts; the two of three groups share theirs, one is there twice.
STUDY = """title = "Kept and gone on with"
[search]
effort = "quick"
[[molecule]]
name = "three"
substituents = ["1 up CH3", "3 up Cl", "4 down F"]
[[molecule]]
name = "three again"
substituents = ["2 up F", "3 down Cl", "5 down CH3"]
[[molecule]]
name = "refused"
smiles = "c1ccccc1"
[[pattern]]
groups = ["F", "Cl"]
carbons = [1, 2]
mirror_images = "once"
"""
# Five small molecules, for tests that compare with nothing but themselves.
FEW = """title = "A few"
[search]
effort = "quick"
""" + "".join(
    f'[[molecule]]\nname = "{group}"\nsubstituents = ["1 up {group}"]\n'
    for group in ("F", "Cl", "CN", "SH", "OH")
)


def start(folder: Path, *options: str, study: str = STUDY, output: str = "out") -> subprocess.Popen[str]:
    """The study in a process of its own, not waited for."""
    (folder / "study.toml").write_text(study)
    return subprocess.Popen(
        [sys.executable, "-m", "chairgap", "study", "study.toml", "--output", output, *options],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        # A shell's background processes ignore Ctrl-C, and so do those that they start.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )


def finish(folder: Path, *options: str, study: str = STUDY, output: str = "out") -> tuple[int, str, str]:
    """The study run to its end: exit code, output and errors."""
    process = start(folder, *options, study=study, output=output)
    out, err = process.communicate(timeout=300)
    return process.returncode, out, err


def records_in(folder: Path) -> int:
    """Tasks that the store of a folder has done; 0 without a store."""
    try:
        with reading_store(folder / STORE) as store:
            return store.counts().done
    except ChairgapError:  # there is none, or it has only just begun
        return 0


def wait_for_records(folder: Path, count: int, process: subprocess.Popen[str]) -> None:
    """Until the store holds so many records, or the process has ended."""
    while process.poll() is None and records_in(folder) < count:
        time.sleep(0.02)


def kill_at_random(folder: Path, process: subprocess.Popen[str], rng: random.Random, most: int = 3) -> bool:
    """SIGKILL before the run has begun, or when it has done up to `most` further tasks and a little more;
    whether it was still running."""
    if rng.random() < 0.8:
        wait_for_records(folder / "out", records_in(folder / "out") + rng.randint(1, most), process)
    time.sleep(rng.uniform(0.0, 0.3))
    running = process.poll() is None
    process.kill()
    process.wait()
    return running


def contents(folder: Path) -> dict[str, bytes]:
    """The bytes of every table of a finished run."""
    return {name: (folder / name).read_bytes() for name in SAME_BYTES}
