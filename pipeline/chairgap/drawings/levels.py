"""Energy levels: those of the conformers of a molecule, and those along the lowest path of a ring flip."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from textwrap import wrap

import numpy as np

from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.drawings.lettering import form_runs
from chairgap.drawings.marks import (
    percent,
    runs_words,
    shortened,
    spread,
    stroke,
    width_of,
    words,
)
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import Element, element, picture
from chairgap.records import Conformer, Flip, FlipMinimum, FlipSaddle, Result
from chairgap.text import typeset
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, fixed, signed

_TOP, _HEIGHT = 96.0, 300.0
_AXIS = 58.0
_WIDTH = 640.0
_BAR, _LABEL_ROW = 40.0, 16.0
_MOST_LABELLED = 9
# Levels without a label nearer than this to the one below would only thicken it.
_FINEST_PX = 1.0
_COLUMN_STARTS = {"A": 74.0, "B": 274.0, "other": 450.0}
_ARROW_AT = 254.0
# Of the levels of a path: how far apart they stand, and at the least, with numbers of 46 px side by side.
_STEP, _NARROW_STEP, _STOP = 60.0, 50.0, 46.0
_LETTERS_A_LINE = 76
_NOTES = (
    "number of the conformer: its ΔG, its share of the population (all its copies);",
    "dashed: all conformers of the column together",
)

Level = tuple[str, str, float, float, float]


@dataclass(frozen=True, kw_only=True)
class _Column:
    """One kind of ring shape: its heading, its conformers with their shares, its Gibbs energy as a whole
    above the lowest conformer, None when it has no conformer."""

    part: str
    heading: str
    share: float
    levels: tuple[tuple[Conformer, float, float], ...]
    whole_kcal_mol: float | None


@dataclass(frozen=True, kw_only=True)
class _Scale:
    """Heights on the paper: low and high in kcal/mol at bottom and top."""

    low: float
    high: float
    top: float
    height: float

    def y(self, energy_kcal_mol: float) -> float:
        return self.top + self.height * (self.high - energy_kcal_mol) / (self.high - self.low)

    def ticks(self) -> list[float]:
        rough = (self.high - self.low) / 6.0
        step = next((one for one in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0) if one >= rough), 20.0)
        return [step * k for k in range(int(np.ceil(self.low / step)), int(self.high / step) + 1)]


def energy_levels(result: Result, temperature_k: float) -> Picture:
    """Gibbs energies of the conformers above the lowest one, in three columns; temperature_k is that of the
    study, to which they belong.

    The dashed level of a column is all its conformers together, -RT ln of their Boltzmann sum with
    degeneracies; the arrow between those of the chairs is the Gibbs gap G(B) - G(A).
    """
    columns = _columns(result, temperature_k)
    heights = [level for column in columns for _, level, _ in column.levels]
    wholes = [column.whole_kcal_mol for column in columns if column.whole_kcal_mol is not None]
    low, high = min([0.0, *wholes]), max([1.0, *heights])
    scale = _Scale(low=low - 0.03 * (high - low), high=high + 0.03 * (high - low), top=_TOP, height=_HEIGHT)
    bottom = _TOP + _HEIGHT
    label = f"ΔG above the lowest conformer at {temperature_k:.2f} K, kcal/mol"
    drawn = [*_axis(scale, label), _heading(shortened(result.molecule.name, 52))]
    gap = result.gaps.gibbs_kcal_mol
    drawn += _gap_arrow(columns, scale, gap, bottom)
    for column in columns:
        drawn += _column(column, scale)
    for row, note in enumerate(_NOTES):
        drawn.append(words(_AXIS, bottom + 62.0 + 17.0 * row, note, anchor="start", colour="quiet"))
    alt = _alt(result, columns, temperature_k, gap)
    return picture(drawn, width_px=_WIDTH, height_px=bottom + 96.0, alt=alt)


def _heading(text: str) -> Element:
    return words(_AXIS, 16.0, text, anchor="start", size=14.0, font_weight="bold")


def _columns(result: Result, temperature_k: float) -> tuple[_Column, ...]:
    floor = min((one.gibbs_kcal_mol for one in result.conformers), default=0.0)
    energies = [one.gibbs_kcal_mol - floor for one in result.conformers]
    every = ensemble_kcal_mol(energies, [one.degeneracy for one in result.conformers], temperature_k)
    names = {chair.letter: shortened(chair.name, 22) for chair in result.chairs}
    gaps = result.gaps
    kinds = (
        ("A", f"chair A: {names['A']}", gaps.population_a),
        ("B", f"chair B: {names['B']}", gaps.population_b),
        ("other", "non-chair", gaps.population_non_chair),
    )
    columns = []
    counts = [(one.degeneracy_a, one.degeneracy_b, one.degeneracy_other) for one in result.conformers]
    for place, (part, heading, share) in enumerate(kinds):
        degeneracies = [by_part[place] for by_part in counts]
        levels = [
            (one, energy, _share(energy, count, every, temperature_k))
            for one, energy, count in zip(result.conformers, energies, degeneracies, strict=True)
            if count
        ]
        levels.sort(key=lambda level: level[1])
        whole = ensemble_kcal_mol(energies, degeneracies, temperature_k)
        columns.append(
            _Column(part=part, heading=heading, share=share, levels=tuple(levels), whole_kcal_mol=whole)
        )
    return tuple(columns)


def _share(energy: float, degeneracy: int, every: float | None, temperature_k: float) -> float:
    own = ensemble_kcal_mol([energy], [degeneracy], temperature_k)
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    # (1) p = exp(-(G_i - RT ln g_i - G_all) / RT)
    return float(np.exp(-((own or 0.0) - (every or 0.0)) / rt))


def _axis(scale: _Scale, label: str) -> Iterator[Element]:
    top, bottom = scale.top, scale.top + scale.height
    yield stroke([(_AXIS, top), (_AXIS, bottom)], width=1.0)
    for tick in scale.ticks():
        y = scale.y(tick)
        yield stroke([(_AXIS - 5.0, y), (_AXIS, y)], width=1.0)
        yield words(_AXIS - 9.0, y, typeset(f"{tick:g}"), anchor="end")
    turned = f"translate(16 {top + scale.height / 2.0:.1f}) rotate(-90)"
    yield words(0.0, 0.0, label, transform=turned)


def _column(column: _Column, scale: _Scale) -> Iterator[Element]:
    start = _COLUMN_STARTS[column.part]
    part, _, name = column.heading.partition(": ")
    yield words(start, 42.0, part, anchor="start", size=13.0, font_weight="bold")
    if name:
        yield words(start, 59.0, name, anchor="start")
    count = len(column.levels)
    tail = f"{percent(column.share)}, {_count(count)}"
    yield words(start, 76.0, tail if count else "no minimum found", anchor="start")
    if column.whole_kcal_mol is not None:
        y = scale.y(column.whole_kcal_mol)
        line = [(start - 6.0, y), (start + _BAR + 6.0, y)]
        yield stroke(line, colour="quiet", width=1.6, stroke_dasharray="5 4", data_whole=column.part)
    named = column.levels if count <= _MOST_LABELLED else column.levels[: _MOST_LABELLED - 1]
    last = float("inf")
    for rank, (one, energy, _) in enumerate(column.levels):
        y = scale.y(energy)
        if rank < len(named) or last - y >= _FINEST_PX:
            yield stroke([(start, y), (start + _BAR, y)], width=2.4, data_conformer=str(one.number))
            last = y
    heights = [scale.y(energy) for _, energy, _ in named]
    room = (_TOP + _LABEL_ROW, _TOP + _HEIGHT)
    beside = spread(heights, _LABEL_ROW, *room)
    for (one, energy, share), place in zip(named, beside, strict=True):
        line = [(start + _BAR + 2.0, scale.y(energy)), (start + _BAR + 14.0, place)]
        yield stroke(line, colour="quiet", width=0.7)
        label = f"{one.number}: {typeset(signed(energy))}, {_short(percent(share))}"
        yield from _on_paper(start + _BAR + 17.0, place, label)
    if count > len(named):
        more = f"and {count - len(named)} higher"
        yield from _on_paper(start + _BAR + 17.0, min(beside) - _LABEL_ROW, more)


def _short(share: str) -> str:
    """'below 0.1 %' as '<0.1 %'."""
    return share.replace("below ", "<").replace("above ", ">")


def _count(conformers: int) -> str:
    return f"{conformers} conformer{'' if conformers == 1 else 's'}"


def _on_paper(x: float, y: float, text: str) -> Iterator[Element]:
    """Words that cover the lines behind them."""
    yield element("rect", class_="fill-paper", x=x - 2.0, y=y - 7.5, width=width_of(text, 12.0), height=15.0)
    yield words(x, y, text, anchor="start")


def _gap_arrow(
    columns: Sequence[_Column], scale: _Scale, gap: float | None, bottom: float
) -> Iterator[Element]:
    """From the whole of chair A to that of chair B, and the number in words below."""
    start, end = (column.whole_kcal_mol for column in columns[:2])
    if start is None or end is None or gap is None:
        phrases = ["no Gibbs gap: one of the chairs has no minimum"]
    else:
        phrases = [f"Gibbs gap ΔG = G(B) − G(A) = {typeset(signed(gap))} kcal/mol", _favoured(gap)]
        yield from _arrow(_ARROW_AT, scale.y(start), scale.y(end))
        for column, level in zip(columns[:2], (start, end), strict=True):
            edge = _COLUMN_STARTS[column.part] - 6.0
            line = [(min(edge, _ARROW_AT), scale.y(level)), (max(edge, _ARROW_AT), scale.y(level))]
            yield stroke(line, colour="quiet", width=0.7, stroke_dasharray="1 4")
    for row, phrase in enumerate(phrases):
        yield words(_AXIS, bottom + 22.0 + 18.0 * row, phrase, anchor="start", size=13.0)


def _favoured(gap: float) -> str:
    if fixed(gap, 2) == "0.00":
        return "zero: neither chair is lower"
    return "positive: chair A is the lower chair" if gap > 0.0 else "negative: chair B is the lower chair"


def _arrow(x: float, start: float, end: float) -> Iterator[Element]:
    yield element(
        "path", class_="line-other", d=f"M{x:.2f} {start:.2f}V{end:.2f}", stroke_width=2.0, data_gap=""
    )
    if abs(end - start) > 8.0:
        tip = 7.0 if end < start else -7.0
        head = f"M{x:.2f} {end:.2f}l-4 {tip:.2f}h8z"
        yield element("path", class_="fill-other", d=head)


def _in_words(column: _Column) -> str:
    if not column.levels:
        return "no minimum found"
    one, energy, _ = column.levels[0]
    return (
        f"{_count(len(column.levels))}, {percent(column.share)}, lowest is conformer {one.number} at "
        f"{typeset(signed(energy))} kcal/mol"
    )


def _alt(result: Result, columns: Sequence[_Column], temperature_k: float, gap: float | None) -> str:
    phrase = "none" if gap is None else f"{typeset(signed(gap))} kcal/mol ({_favoured(gap)})"
    parts = "; ".join(f"{column.heading}: {_in_words(column)}" for column in columns)
    return (
        f"Levels of {shortened(result.molecule.name, 200)}, Gibbs energy above the lowest conformer at "
        f"{temperature_k:.2f} K. {parts}. Gibbs gap G(B) − G(A): {phrase}."
    )


def above_lowest(flip: Flip, item: FlipMinimum | FlipSaddle) -> tuple[float, float, float]:
    """Potential energy, enthalpy and Gibbs energy above those of the lowest minimum, kcal/mol."""
    floor = flip.minima[0]
    point = item.minimum if isinstance(item, FlipMinimum) else item.saddle
    return (
        point.energy_kcal_mol - floor.minimum.energy_kcal_mol,
        item.enthalpy_kcal_mol - floor.enthalpy_kcal_mol,
        item.gibbs_kcal_mol - floor.gibbs_kcal_mol,
    )


def levels_of(flip: Flip) -> list[Level]:
    """(kind, name, potential, enthalpy, Gibbs) along the path, above the lowest minimum, kcal/mol."""
    names = {chair.letter: f"chair {chair.letter}\n{chair.name}" for chair in flip.chairs}
    saddles = {item.number: item for item in flip.saddles}

    def lowest(form: str) -> Level:
        item = next(item for item in flip.minima if item.form == form)
        name = names[item.chair] if item.chair else f"{item.shape.family}\n{form}"
        return ("minimum", name, *above_lowest(flip, item))

    levels = [lowest(flip.path[0].from_form)] if flip.path else []
    for step in flip.path:
        item = saddles[step.saddle]
        name = f"{item.shape.family}\n{item.shape.form}"
        levels += [("saddle", name, *above_lowest(flip, item)), lowest(step.to_form)]
    return levels


def flip_levels(flip: Flip, model: str) -> Picture:
    """Potential energies of a model along the lowest path between the chairs: minima solid, saddles dashed;
    enthalpies and Gibbs energies (at the flip's temperature) in numbers below. Without a path: its note."""
    levels = levels_of(flip)
    name = shortened(flip.molecule.name, 40)
    if not levels:
        phrase = f"{name}: no path between the chairs was found. {shortened(flip.note, 200)}".strip()
        lines = wrap(phrase, _LETTERS_A_LINE)
        drawn = [words(12.0, 20.0 + 17.0 * row, line, anchor="start") for row, line in enumerate(lines)]
        return picture(drawn, width_px=_WIDTH, height_px=24.0 + 17.0 * len(lines), alt=phrase)
    top = max(level[2] for level in levels)
    scale = _Scale(low=-0.05 * top, high=1.05 * top, top=_TOP, height=_HEIGHT)
    bottom = _TOP + _HEIGHT
    drawn = [
        _heading(f"{name}: lowest path of the ring flip"),
        words(_AXIS, 36.0, f"{model}, gas phase", anchor="start"),
        *_legend_of_levels(),
        *_axis(scale, "potential energy above the lowest minimum, kcal/mol"),
    ]
    step = min(_STEP, max(_NARROW_STEP, (_WIDTH - _AXIS - 28.0) / len(levels)))
    middles = [_AXIS + 8.0 + step * (place + 0.5) for place in range(len(levels))]
    drawn += _path_line(levels, middles, scale)
    for level, x in zip(levels, middles, strict=True):
        drawn += _stop(level, x, scale, bottom)
    for row, one in enumerate(("E", "H", "G")):
        drawn.append(words(_AXIS - 9.0, bottom + 24.0 + 17.0 * row, one, anchor="end"))
    drawn += [
        words(_AXIS, bottom + 84.0 + 17.0 * row, note, anchor="start", colour="quiet")
        for row, note in enumerate(_notes_of(flip))
    ]
    width = max(_WIDTH, _AXIS + step * len(levels) + 28.0)
    alt = _flip_alt(flip, model, levels)
    return picture(drawn, width_px=width, height_px=bottom + 150.0, alt=alt)


def _legend_of_levels() -> Iterator[Element]:
    for x, word, dashes in ((0.0, "minimum", {}), (130.0, "saddle point", {"stroke_dasharray": "6 4"})):
        yield stroke([(_AXIS + x, 56.0), (_AXIS + x + 30.0, 56.0)], width=3.0, **dashes)
        yield words(_AXIS + x + 36.0, 56.0, word, anchor="start")


def _notes_of(flip: Flip) -> Iterator[str]:
    yield "; ".join(f"chair {chair.letter}: {shortened(chair.name, 26)}" for chair in flip.chairs)
    yield "kcal/mol above the lowest minimum: E potential energy,"
    yield f"H enthalpy and G Gibbs energy at {flip.temperature_k:.2f} K"
    yield "S twist-boat, B boat, H half-chair, E envelope; raised atoms before the letter"


def _path_line(levels: Sequence[Level], middles: Sequence[float], scale: _Scale) -> Iterator[Element]:
    ends = [(x, scale.y(level[2])) for level, x in zip(levels, middles, strict=True)]
    for (x, y), (other_x, other_y) in pairwise(ends):
        line = [(x + _STOP / 2.0, y), (other_x - _STOP / 2.0, other_y)]
        yield stroke(line, colour="quiet", width=1.0, stroke_dasharray="1 4")


def _stop(level: Level, x: float, scale: _Scale, bottom: float) -> Iterator[Element]:
    kind, name, *energies = level
    y = scale.y(energies[0])
    dashes = {"stroke_dasharray": "6 4"} if kind == "saddle" else {}
    yield stroke([(x - _STOP / 2.0, y), (x + _STOP / 2.0, y)], width=3.0, data_level=kind, **dashes)
    family, _, form = name.partition("\n")
    if family.startswith("chair "):
        yield words(x, y - 13.0, family)
    else:
        yield runs_words(x, y - 14.0, form_runs(form), size=13.0)
    for row, energy in enumerate(energies):
        yield words(x, bottom + 24.0 + 17.0 * row, typeset(signed(energy)))


def _flip_alt(flip: Flip, model: str, levels: Sequence[Level]) -> str:
    phrase = "; ".join(
        f"{kind} {' '.join(name.split())} {typeset(signed(energy))}" for kind, name, energy, *_ in levels
    )
    rates = flip.rates
    barrier = (
        f" Gibbs barrier from chair A {typeset(signed(rates.barrier_a_gibbs_kcal_mol))}, from chair B "
        f"{typeset(signed(rates.barrier_b_gibbs_kcal_mol))} kcal/mol at {rates.temperature_k:.2f} K."
        if rates
        else ""
    )
    return (
        f"Ring flip of {shortened(flip.molecule.name, 200)} along its lowest path, {model}, gas phase, "
        f"potential energy above the lowest minimum in kcal/mol: {phrase}.{barrier}"
    )
