"""The drawings of one molecule, each with its title."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from markupsafe import escape

from chairgap.drawings.chair_pair import chair_column, chair_pair
from chairgap.drawings.conformer_view import conformer_view
from chairgap.drawings.flat import flat_picture
from chairgap.drawings.levels import energy_levels
from chairgap.drawings.newman import newman_of
from chairgap.drawings.picture import Picture
from chairgap.drawings.ring_shapes import ring_dial
from chairgap.drawings.shares import population_bar
from chairgap.errors import defect_words
from chairgap.page.forms import Form
from chairgap.records import Chair, Conformer, Outcome, Result, Topology
from chairgap.report.digest import by_energy, lowest_in_chair
from chairgap.report.sections import MOST_CONFORMERS_SHOWN
from chairgap.report.words import chair_words
from chairgap.shape.other_chair import in_other_chair
from chairgap.text import one_line

# Among many molecules fewer are drawn; each can be turned in 3D all the same.
_MOST_STILLS: dict[Form, int] = {"open": MOST_CONFORMERS_SHOWN, "lazy": 3, "counts": 0}


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A picture with its title and the word that names its file; without one, the fault says why. narrow:
    what stands for it on a narrow screen, where its letters would become too small."""

    key: str
    title: str
    picture: Picture | None
    fault: str = ""
    narrow: Picture | None = None


@dataclass(frozen=True, kw_only=True)
class Drawings:
    """The drawings of a molecule by place in its section; stills by number of the conformer."""

    chairs: Drawing
    flat: Drawing
    newman: tuple[Drawing, ...]
    populations: tuple[Drawing, ...]
    shapes: tuple[Drawing, ...]
    stills: tuple[tuple[int, Drawing], ...]


def drawn(key: str, title: str, make: Callable[[], Picture], *, of: str = "") -> Drawing:
    """A drawing, whose words begin with what it is of, so that no two on a page have the same; a defect on
    the way is shown in its place, and nothing else is lost."""
    try:
        return Drawing(key=key, title=title, picture=_of(make(), f"{of}, {title}. " if of else ""))
    except Exception as error:
        return Drawing(key=key, title=title, picture=None, fault=defect_words(error))


def _of(picture: Picture, words: str) -> Picture:
    label = 'aria-label="'
    svg = picture.svg.replace(label, f"{label}{escape(one_line(words))} ", 1)
    return replace(picture, svg=svg, alt=words + picture.alt)


def drawings_of(outcome: Outcome, result: Result, form: Form) -> Drawings:
    """All drawings of a molecule; those that need a conformer are left out where there is none."""
    molecule, gaps, (chair_a, chair_b) = result.molecule, result.gaps, result.chairs
    named = partial(drawn, of=molecule.name)
    chairs = named("chairs", "Both chairs", lambda: chair_pair(result.chairs))
    below = named("chairs", "Both chairs below each other", lambda: chair_column(result.chairs))
    chairs = replace(chairs, narrow=below.picture)
    flat = named("flat", "Flat drawing", lambda: flat_picture(molecule))
    if not result.conformers:
        return Drawings(
            chairs=chairs,
            flat=flat,
            newman=(),
            populations=(),
            shapes=(),
            stills=(),
        )
    settings = outcome.study.settings
    model, at_k = settings.force_field_or_quantum_method, settings.temperature_k
    shares = (gaps.population_a, gaps.population_b, gaps.population_non_chair)
    names = (chair_a.name, chair_b.name)
    return Drawings(
        chairs=chairs,
        flat=flat,
        newman=tuple(_newman(result)),
        populations=(
            named("levels", f"Energies of the conformers by {model}", lambda: energy_levels(result, at_k)),
            named(
                "populations",
                f"Populations by {model} at {at_k:.2f} K",
                lambda: population_bar(*shares, names),
            ),
        ),
        shapes=(
            named(
                "ring-shapes",
                "Ring shapes on the sphere of θ and φ",
                lambda: ring_dial(result.conformers),
            ),
        ),
        stills=tuple(_stills(result, _MOST_STILLS[form])),
    )


def _newman(result: Result) -> Iterator[Drawing]:
    """Along the bonds that show most, in the best conformer of each chair; where symmetry makes the chairs
    equal, that of the other chair is its copy."""
    topology = result.molecule.topology
    for chair in result.chairs:
        best = lowest_in_chair(result.conformers, chair.letter)
        if best is None:
            continue
        words = f"Newman projection, chair {chair.letter}, conformer {best.number}"
        if best.chair == chair.letter:
            make = partial(newman_of, topology, best.minimum.positions, chair)
        else:
            words, make = f"{words} as its copy", partial(_newman_of_copy, topology, best, chair)
        yield drawn(f"newman-{chair.letter}", words, make, of=result.molecule.name)


def _newman_of_copy(topology: Topology, best: Conformer, chair: Chair) -> Picture:
    positions = in_other_chair(topology, best.minimum.positions)
    if positions is None:
        raise AssertionError(f"conformer {best.number} has a copy in chair {chair.letter}")
    return newman_of(topology, positions, chair)


def _stills(result: Result, most: int) -> Iterator[tuple[int, Drawing]]:
    """The lowest conformers, and in any case the lowest of each chair."""
    chosen = by_energy(result.conformers)[:most]
    for chair in result.chairs:
        best = lowest_in_chair(result.conformers, chair.letter)
        if best is not None and all(best is not item for item in chosen):
            chosen.append(best)
    for conformer in chosen:
        yield conformer.number, _still(result, conformer)


def _still(result: Result, conformer: Conformer) -> Drawing:
    return drawn(
        f"conformer-{conformer.number}",
        f"Conformer {conformer.number}, {chair_words(result, conformer)}",
        lambda: conformer_view(result.molecule.topology, conformer.minimum.positions),
        of=result.molecule.name,
    )
