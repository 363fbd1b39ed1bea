"""The drawings of one molecule, each with its title."""

from dataclasses import dataclass

from chairgap.drawings.picture import Picture
from chairgap.records import Outcome, Result


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A picture with its title and the word that names its file."""

    key: str
    title: str
    picture: Picture


@dataclass(frozen=True, kw_only=True)
class Drawings:
    """The drawings of a molecule by place in its section; stills by number of the conformer."""

    chairs: tuple[Drawing, ...] = ()
    energies: tuple[Drawing, ...] = ()
    shapes: tuple[Drawing, ...] = ()
    stills: tuple[tuple[int, Drawing], ...] = ()


def pictures_of(outcome: Outcome, result: Result) -> Drawings:
    return Drawings()
