"""Tasks, what becomes of them, and the account of a run."""

from dataclasses import dataclass
from typing import Literal

from chairgap.errors import Place
from chairgap.records.conformer import MediumLevels
from chairgap.records.naming import MoleculeName
from chairgap.records.request import Refusal
from chairgap.records.result import Ensemble
from chairgap.records.types import NumberedBy, PairLevel

# Six pairs (upper, lower fragment), C1 to C6: see chairgap.molecule.numbering.
Ring = tuple[tuple[str, str], ...]
# The stages of a run, in their order.
READING, COMPUTING, WRITING = "reading molecules", "computing", "writing files"


@dataclass(frozen=True, kw_only=True)
class Task:
    """One ring to compute: with the model of the study, also in every medium of its series; or at a level.
    It takes about expected_s seconds of one core."""

    key: str
    ring: Ring
    level: PairLevel = "none"
    expected_s: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Planned:
    """One molecule of a study: its own name, place and notes, its SMILES, its groups in its numbering, where
    that is from and its systematic name, its task, the tasks of its parts that do not ship, and those of the
    rings it needs at the level of the study."""

    name: str
    place: Place
    notes: tuple[str, ...]
    smiles: str
    groups_by_face: str
    naming: MoleculeName | None
    numbered: NumberedBy
    task: Task
    parts: tuple[Task, ...]
    at_level: tuple[Task, ...] = ()


@dataclass(frozen=True, kw_only=True)
class NotPlanned:
    """A molecule that chemistry refuses, or that failed before it could be computed."""

    status: Literal["refused", "failed"]
    refusal: Refusal


@dataclass(frozen=True, kw_only=True)
class Computed:
    """What the model says of a ring, also in the media of the series, without name, place and temperature:
    what a task leaves when it is done."""

    ensemble: Ensemble
    media: tuple[MediumLevels, ...]


@dataclass(frozen=True, kw_only=True)
class Record:
    """What became of a task. done: `content` is the packed `Computed`, of a task at a level the packed
    `LevelRing`. failed: the model cannot treat it, now or later; lost: it ran out of time or memory, its
    process died or a library was missing there, and the next run tries again; both say why in `message`.
    seconds is CPU time where it was done, else time on the clock."""

    state: Literal["done", "failed", "lost"]
    content: bytes = b""
    message: str = ""
    seconds: float = 0.0
    atoms: int = 0


@dataclass(frozen=True, kw_only=True)
class Lost:
    """A piece of work that brought nothing back, and what was done about it, in words."""

    why: Literal["time", "memory", "crash"]
    message: str
    seconds: float


@dataclass(frozen=True, kw_only=True)
class RunState:
    """Where a run stands: the words of its stage, pieces of work done of all, those lost or failed, and how
    many were there from an earlier run. To be said once, before the work begins: remark, and left_out, the
    molecules that are not treated."""

    stage: str
    done: int
    total: int
    failed: int = 0
    kept: int = 0
    name: str = ""
    remark: str = ""
    left_out: tuple[NotPlanned, ...] = ()
