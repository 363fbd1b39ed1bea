"""What a kind of question is, and what it writes one from."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random

from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.sources import KeyTables
from chairgap.drawings.picture import Picture
from chairgap.handout import pictures, wording
from chairgap.handout.answers import computed_lines
from chairgap.handout.blocks import Beside, Bullets, Drawing, Mark, Piece, Size, Together, Words
from chairgap.handout.choosing import Asked
from chairgap.handout.pool import Candidate
from chairgap.handout.posed import Posed
from chairgap.molecule.facts import facts_of
from chairgap.records import Cell, Chair, Claim, Conventions, Outcome, Quantity, Settings

FRAMES, TABLE, TEMPERATURE = "frames", "table", "temperature"


@dataclass(frozen=True, kw_only=True)
class Task:
    """A question to be written: what is asked about, on which version, under which number. seed: alike for
    all versions, so that what it chooses is equally hard on them."""

    asked: Asked
    outcome: Outcome
    version: str
    number: int
    seed: int

    @property
    def posed(self) -> Posed:
        return self.asked.posed

    @property
    def settings(self) -> Settings:
        return self.outcome.study.settings

    @property
    def rng(self) -> Random:
        """For what may be another on each version, such as which molecule stands first."""
        return Random(f"{self.seed} {self.version}")

    @property
    def rng_of_all(self) -> Random:
        """For what must be alike on all versions, such as which step is wrong."""
        return Random(self.seed)

    def drawn(self, picture: Picture, size: Size, part: str = "", captions: tuple[str, ...] = ()) -> Drawing:
        """A drawing of the question; part: its file's name goes on with it."""
        path = f"drawings/questions_{self.version}_{self.number}{part}.svg"
        return Drawing(path=path, picture=picture, size=size, captions=captions)

    def key_path(self, part: str = "") -> str:
        """The file of a drawing of the key."""
        return f"key_drawings/key_{self.version}_{self.number}{part}.svg"

    def molecule(self) -> Beside:
        """The flat drawing with its groups and numbering."""
        posed = self.posed
        return Beside(
            drawings=(self.drawn(pictures.molecule_picture(posed), "molecule"),),
            lines=tuple(wording.group_words(group) for group in posed.chairs[0].groups),
            note=wording.numbered_words(posed),
        )

    def frames(self) -> Drawing:
        """The two empty frames."""
        odd = self.posed.left_odd_up_axial
        return Drawing(
            path=f"drawings/chair_frames{'' if odd else '_other'}.svg",
            picture=pictures.frames_picture(odd),
            size="frames",
            captions=wording.FRAMES,
            singles=pictures.single_frames(odd),
        )

    def chairs_of_key(self) -> Drawing:
        """Both chairs with groups and labels, for the key."""
        return Drawing(
            path=self.key_path(),
            picture=pictures.chairs_picture(self.posed),
            size="chairs",
            captions=wording.FRAMES,
            singles=pictures.single_chairs(self.posed),
        )

    def labels(self) -> tuple[tuple[str, ...], ...]:
        """(group, axial or equatorial in chair 1, in chair 2)."""
        left, right = wording.left_and_right(self.posed)
        return tuple(
            (wording.group_words(one), one.position, other.position)
            for one, other in zip(left.groups, right.groups, strict=True)
        )

    def computation(self) -> Together:
        """What the force field says, for the key."""
        return Together(
            pieces=(
                Words(text="Computation beside the estimate:"),
                Bullets(lines=computed_lines(self.posed, self.outcome)),
            )
        )


@dataclass(frozen=True, kw_only=True)
class Written:
    """The pieces of a question, those of its answer, the answer in short pieces, and the marks of its steps
    ('()' where the key says them once for all questions)."""

    question: tuple[Piece, ...]
    answer: tuple[Piece, ...]
    glance: tuple[str, ...]
    marks: tuple[Mark, ...] = ()


def serves_all(candidate: Candidate, outcome: Outcome) -> str:
    """Of a kind that every molecule serves."""
    return ""


@dataclass(frozen=True, kw_only=True)
class Kind:
    """A kind of question. title: what the key calls it. uses: what its sheet must explain. hard_by: pitfalls
    that make it harder. molecules: how many it is about, all with the same groups. lacks: why a molecule
    cannot serve, or ''; lacks_together: the same of several. names_shown: the name of the molecule may
    stand on the sheet. doubted: what is not to be marked before doubts are read."""

    name: str
    title: str
    write: Callable[[Task], Written]
    uses: frozenset[str]
    hard_by: frozenset[str]
    molecules: int = 1
    lacks: Callable[[Candidate, Outcome], str] = serves_all
    lacks_together: Callable[[tuple[Candidate, ...], Outcome], str] = lambda _candidates, _outcome: ""
    names_shown: bool = True
    whole_page: bool = False
    doubted: str = "this question"

    @property
    def needs_sum(self) -> bool:
        """Whether the question needs a complete estimate."""
        return bool(self.uses & {TABLE, TEMPERATURE})

    @property
    def of_energies(self) -> bool:
        """Whether the answer rests on the estimate, so that doubts of it matter."""
        return TABLE in self.uses


def case_of(
    posed: tuple[Posed, ...],
    outcome: Outcome,
    quantity: Quantity,
    *,
    carbons: tuple[int, ...] = (),
    chair: Chair | None = None,
    claimed: str = "",
) -> Case:
    """A claim about molecules of a sheet, as key checking takes it, with the table of the study."""
    table, settings = outcome.table, outcome.study.settings
    # A twin keeps the letters of the molecule that it was made of.
    facts = tuple(
        replace(facts_of(one.molecule, text=one.molecule.groups_by_face), chairs=one.chairs) for one in posed
    )
    claim = Claim(
        item="handout",
        molecules=tuple(one.text for one in facts),
        quantity=quantity,
        carbons=carbons,
        group="",
        chair=chair.name if chair else "",
        claimed=claimed,
        unit="",
        tolerance=None,
        points=None,
        conventions=Conventions(table=table.name, temperature_k=settings.temperature_k),
        cell=Cell(sheet="handout", column="A", row=1),
    )
    tables = KeyTables(
        named={table.name: table},
        published={},
        ranges=table,
        short_sources=table.short_sources,
        equilibria=(),
    )
    return Case(claim=claim, molecules=facts, tables=tables)
