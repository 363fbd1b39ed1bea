"""What a name is made of. Pure records between the grammar and the structure."""

from dataclasses import dataclass, field

from chairgap.naming.words import RING, Suffix, Word

RING_LOCANTS = ("1", "2", "3", "4", "5", "6")


@dataclass(frozen=True, kw_only=True)
class Locant:
    """'2', 'N' or 'N2'; mark: '', or 'r', 'c', 't' of r-1,c-2,t-4 (P-31.1.4.3.4, P-93, from memory)."""

    text: str
    mark: str = ""


@dataclass(frozen=True, kw_only=True)
class Letter:
    """A CIP descriptor; locant '' where none is written. letter: R, S, r, s, E or Z."""

    locant: str
    letter: str


@dataclass(frozen=True, kw_only=True)
class Stereo:
    """The stereodescriptors in front of a unit.

    relation: '', 'cis', 'trans' or 'all-cis'; faces: (locant, True for alpha); relative: only the relation
    of centres is meant (rel-, R*, RS, rac-); racemic: rac- or its like;
    sign: '', or signs of rotation and series, such as '-' or 'D-'.
    """

    relation: str = ""
    letters: tuple[Letter, ...] = ()
    faces: tuple[tuple[str, bool], ...] = ()
    relative: bool = False
    racemic: bool = False
    sign: str = ""
    start: int = 0
    end: int = 0

    @property
    def says_nothing(self) -> bool:
        return self.start == self.end


@dataclass(frozen=True, kw_only=True)
class Item:
    """Groups in front of a parent: '1,2-dimethyl' is one item of count 2. start, end: where it is."""

    locants: tuple[Locant, ...]
    count: int
    unit: "Unit"
    start: int
    end: int


@dataclass(frozen=True, kw_only=True)
class Ending:
    """'-1,2-diol'. attached: what stands on each (the alkyl groups of esters, acids of a '-diyl'), may be
    empty; suffix None for a '-diyl'."""

    suffix: Suffix | None
    locants: tuple[Locant, ...]
    count: int
    start: int
    end: int
    attached: tuple["Unit", ...] = ()


@dataclass(frozen=True, kw_only=True)
class Unit:
    """A parent or a group: its word, what stands in front of it, its ending, and what is attached to its
    free valence (the acid of 'cyclohexyl acetate')."""

    word: Word
    items: tuple[Item, ...] = ()
    ending: Ending | None = None
    stereo: Stereo = field(default_factory=Stereo)
    attached: "Unit | None" = None
    start: int = 0
    end: int = 0

    @property
    def is_ring(self) -> bool:
        return self.word.smiles.lstrip("*") == RING or self.word.has_ring

    @property
    def called(self) -> str:
        """The word for messages, with the e that endings take away."""
        return f"{self.word.name}e" if self.word.name.endswith(("an", "en")) else self.word.name
