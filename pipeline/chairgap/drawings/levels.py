"""Energy levels of the conformers of a molecule, and the axis of all drawings of levels."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.drawings.marks import (
    percent,
    shortened,
    spread,
    stroke,
    width_of,
    words,
)
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import Element, element, picture
from chairgap.records import Conformer, Result
from chairgap.text import typeset
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, fixed, signed

TOP_PX, HEIGHT_PX = 96.0, 300.0
AXIS_PX = 58.0
WIDTH_PX = 640.0
_BAR, _LABEL_ROW = 40.0, 16.0
_MOST_LABELLED = 9
# Levels without a label nearer than this to the one below would only thicken it.
_FINEST_PX = 1.0
_COLUMN_STARTS = {"A": 74.0, "B": 274.0, "other": 450.0}
_ARROW_AT = 254.0
_NOTES = (
    "number of the conformer: its ΔG, its share of the population (all its copies);",
    "dashed: all conformers of the column together",
)


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
class Scale:
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
    scale = Scale(
        low=low - 0.03 * (high - low), high=high + 0.03 * (high - low), top=TOP_PX, height=HEIGHT_PX
    )
    bottom = TOP_PX + HEIGHT_PX
    label = f"ΔG above the lowest conformer at {temperature_k:.2f} K, kcal/mol"
    drawn = [*energy_axis(scale, label), heading_of(shortened(result.molecule.name, 52))]
    gap = result.gaps.gibbs_kcal_mol
    drawn += _gap_arrow(columns, scale, gap, bottom)
    for column in columns:
        drawn += _column(column, scale)
    for row, note in enumerate(_NOTES):
        drawn.append(words(AXIS_PX, bottom + 62.0 + 17.0 * row, note, anchor="start", colour="quiet"))
    alt = _alt(result, columns, temperature_k, gap)
    return picture(drawn, width_px=WIDTH_PX, height_px=bottom + 96.0, alt=alt)


def heading_of(text: str) -> Element:
    return words(AXIS_PX, 16.0, text, anchor="start", size=14.0, font_weight="bold")


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


def energy_axis(scale: Scale, label: str, *, left: float = AXIS_PX) -> Iterator[Element]:
    """An axis with its ticks, this far from the left, and what it is of."""
    top, bottom = scale.top, scale.top + scale.height
    yield stroke([(left, top), (left, bottom)], width=1.0)
    for tick in scale.ticks():
        y = scale.y(tick)
        yield stroke([(left - 5.0, y), (left, y)], width=1.0)
        yield words(left - 9.0, y, typeset(f"{tick:g}"), anchor="end")
    turned = f"translate({left - 42.0:g} {top + scale.height / 2.0:.1f}) rotate(-90)"
    yield words(0.0, 0.0, label, transform=turned)


def _column(column: _Column, scale: Scale) -> Iterator[Element]:
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
    room = (TOP_PX + _LABEL_ROW, TOP_PX + HEIGHT_PX)
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
    columns: Sequence[_Column], scale: Scale, gap: float | None, bottom: float
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
        yield words(AXIS_PX, bottom + 22.0 + 18.0 * row, phrase, anchor="start", size=13.0)


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
