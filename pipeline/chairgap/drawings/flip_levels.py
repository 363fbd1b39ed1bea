"""Energy levels along the lowest path of a ring flip."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from textwrap import wrap

from chairgap.drawings.lettering import form_runs
from chairgap.drawings.levels import AXIS_PX, HEIGHT_PX, TOP_PX, WIDTH_PX, Scale, energy_axis, heading_of
from chairgap.drawings.marks import runs_words, shortened, stroke, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import Element, picture
from chairgap.records import Flip, FlipLevel, FlipLevels, FlipMinimum, FlipSaddle
from chairgap.text import typeset
from chairgap.units import signed

# How far apart the levels stand, and at the least, with numbers of 46 px side by side.
_STEP, _NARROW_STEP, _STOP = 60.0, 50.0, 46.0
_LETTERS_A_LINE = 76


def above_lowest(flip: Flip, item: FlipMinimum | FlipSaddle) -> tuple[float, float, float]:
    """Potential energy, enthalpy and Gibbs energy above those of the lowest minimum, kcal/mol."""
    floor = flip.minima[0]
    point = item.minimum if isinstance(item, FlipMinimum) else item.saddle
    return (
        point.energy_kcal_mol - floor.minimum.energy_kcal_mol,
        item.enthalpy_kcal_mol - floor.enthalpy_kcal_mol,
        item.gibbs_kcal_mol - floor.gibbs_kcal_mol,
    )


def levels_of(flip: Flip, model: str) -> FlipLevels:
    """The minima and saddles of the path, without a path none, with their energies by a model."""
    names = {chair.letter: f"chair {chair.letter}\n{chair.name}" for chair in flip.chairs}
    saddles = {item.number: item for item in flip.saddles}

    def level(name: str, item: FlipMinimum | FlipSaddle) -> FlipLevel:
        potential, enthalpy, gibbs = above_lowest(flip, item)
        return FlipLevel(
            kind="minimum" if isinstance(item, FlipMinimum) else "saddle",
            name=name,
            potential_kcal_mol=potential,
            enthalpy_kcal_mol=enthalpy,
            gibbs_kcal_mol=gibbs,
        )

    def lowest(form: str) -> FlipLevel:
        item = next(item for item in flip.minima if item.form == form)
        return level(names[item.chair] if item.chair else f"{item.shape.family}\n{form}", item)

    path = [lowest(flip.path[0].from_form)] if flip.path else []
    for step in flip.path:
        item = saddles[step.saddle]
        path += [level(f"{item.shape.family}\n{item.shape.form}", item), lowest(step.to_form)]
    one, other = flip.chairs
    rates = flip.rates
    return FlipLevels(
        molecule=flip.molecule.name,
        model=model,
        temperature_k=flip.temperature_k,
        chairs=(one.name, other.name),
        path=tuple(path),
        barriers_kcal_mol=(rates.barrier_a_gibbs_kcal_mol, rates.barrier_b_gibbs_kcal_mol) if rates else None,
        note=flip.note,
    )


def flip_levels(flip: FlipLevels) -> Picture:
    """Potential energies along the lowest path between the chairs: minima solid, saddles dashed;
    enthalpies and Gibbs energies (at the flip's temperature) in numbers below. Without a path: its note."""
    levels, name = flip.path, shortened(flip.molecule, 40)
    if not levels:
        phrase = f"{name}: no path between the chairs was found. {shortened(flip.note, 200)}".strip()
        lines = wrap(phrase, _LETTERS_A_LINE)
        drawn = [words(12.0, 20.0 + 17.0 * row, line, anchor="start") for row, line in enumerate(lines)]
        return picture(drawn, width_px=WIDTH_PX, height_px=24.0 + 17.0 * len(lines), alt=phrase)
    top = max(level.potential_kcal_mol for level in levels)
    scale = Scale(low=-0.05 * top, high=1.05 * top, top=TOP_PX, height=HEIGHT_PX)
    bottom = TOP_PX + HEIGHT_PX
    drawn = [
        heading_of(f"{name}: lowest path of the ring flip"),
        words(AXIS_PX, 36.0, f"{flip.model}, gas phase", anchor="start"),
        *_legend_of_levels(),
        *energy_axis(scale, "potential energy above the lowest minimum, kcal/mol"),
    ]
    step = min(_STEP, max(_NARROW_STEP, (WIDTH_PX - AXIS_PX - 28.0) / len(levels)))
    middles = [AXIS_PX + 8.0 + step * (place + 0.5) for place in range(len(levels))]
    drawn += _path_line(levels, middles, scale)
    for level, x in zip(levels, middles, strict=True):
        drawn += _stop(level, x, scale, bottom)
    for row, one in enumerate(("E", "H", "G")):
        drawn.append(words(AXIS_PX - 9.0, bottom + 24.0 + 17.0 * row, one, anchor="end"))
    drawn += [
        words(AXIS_PX, bottom + 84.0 + 17.0 * row, note, anchor="start", colour="quiet")
        for row, note in enumerate(_notes_of(flip))
    ]
    width = max(WIDTH_PX, AXIS_PX + step * len(levels) + 28.0)
    return picture(drawn, width_px=width, height_px=bottom + 150.0, alt=_flip_alt(flip))


def _legend_of_levels() -> Iterator[Element]:
    for x, word, dashes in ((0.0, "minimum", {}), (130.0, "saddle point", {"stroke_dasharray": "6 4"})):
        yield stroke([(AXIS_PX + x, 56.0), (AXIS_PX + x + 30.0, 56.0)], width=3.0, **dashes)
        yield words(AXIS_PX + x + 36.0, 56.0, word, anchor="start")


def _notes_of(flip: FlipLevels) -> Iterator[str]:
    yield "; ".join(
        f"chair {letter}: {shortened(name, 26)}" for letter, name in zip("AB", flip.chairs, strict=True)
    )
    yield "kcal/mol above the lowest minimum: E potential energy,"
    yield f"H enthalpy and G Gibbs energy at {flip.temperature_k:.2f} K"
    yield "S twist-boat, B boat, H half-chair, E envelope; raised atoms before the letter"


def _path_line(levels: Sequence[FlipLevel], middles: Sequence[float], scale: Scale) -> Iterator[Element]:
    ends = [(x, scale.y(level.potential_kcal_mol)) for level, x in zip(levels, middles, strict=True)]
    for (x, y), (other_x, other_y) in pairwise(ends):
        line = [(x + _STOP / 2.0, y), (other_x - _STOP / 2.0, other_y)]
        yield stroke(line, colour="quiet", width=1.0, stroke_dasharray="1 4")


def _stop(level: FlipLevel, x: float, scale: Scale, bottom: float) -> Iterator[Element]:
    y = scale.y(level.potential_kcal_mol)
    dashes = {"stroke_dasharray": "6 4"} if level.kind == "saddle" else {}
    yield stroke([(x - _STOP / 2.0, y), (x + _STOP / 2.0, y)], width=3.0, data_level=level.kind, **dashes)
    family, _, form = level.name.partition("\n")
    if family.startswith("chair "):
        yield words(x, y - 13.0, family)
    else:
        yield runs_words(x, y - 14.0, form_runs(form), size=13.0)
    for row, energy in enumerate(level.energies_kcal_mol):
        yield words(x, bottom + 24.0 + 17.0 * row, typeset(signed(energy)))


def _flip_alt(flip: FlipLevels) -> str:
    phrase = "; ".join(
        f"{level.kind} {' '.join(level.name.split())} {typeset(signed(level.potential_kcal_mol))}"
        for level in flip.path
    )
    barrier = ""
    if flip.barriers_kcal_mol:
        from_a, from_b = (typeset(signed(value)) for value in flip.barriers_kcal_mol)
        barrier = (
            f" Gibbs barrier from chair A {from_a}, from chair B {from_b} kcal/mol at "
            f"{flip.temperature_k:.2f} K."
        )
    return (
        f"Ring flip of {shortened(flip.molecule, 200)} along its lowest path, {flip.model}, gas phase, "
        f"potential energy above the lowest minimum in kcal/mol: {phrase}.{barrier}"
    )
