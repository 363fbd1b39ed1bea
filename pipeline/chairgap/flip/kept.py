"""flip.json: what a flip leaves behind, so that the page of its study can show it; written and read again.

What is read may be anybody's: it is bounded in size, and taken only if it is whole.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain
from pathlib import Path

import msgspec
import numpy as np

from chairgap.drawings.conformer_view import onlooker
from chairgap.drawings.flip_levels import levels_of
from chairgap.errors import InputError, Place
from chairgap.files.reading import read_bytes
from chairgap.records import (
    Flip,
    FlipLevels,
    Floats,
    Integers,
    KeptFlip,
    KeptFrame,
    KeptGroup,
    PathFrame,
    SpherePoint,
    Topology,
)
from chairgap.shape.positions import ligand_positions

KEPT = "flip.json"
_MOST_MB = 8
_MOST_ATOMS, _MOST_FRAMES, _MOST_POINTS, _MOST_LEVELS, _MOST_LETTERS = 400, 1000, 3000, 99, 2000
# Beyond any of a molecule: angstrom, kcal/mol, degrees.
_LARGEST = 1e5
_AGAIN = "Run chairgap flip again."


def kept_flip(flip: Flip, frames: Sequence[PathFrame], points: Sequence[SpherePoint], model: str) -> KeptFlip:
    """What is shown again of a flip: its path as levels and as geometries, and its map."""
    molecule, topology = flip.molecule, flip.molecule.topology
    floor = flip.minima[0].minimum.energy_kcal_mol
    return KeptFlip(
        smiles=molecule.smiles,
        groups_by_face=molecule.numbered_groups,
        levels=_rounded(levels_of(flip, model)),
        north=next(chair.letter for chair in flip.chairs if chair.odd_up_axial),
        symbols=topology.symbols,
        bonds=tuple((one, other) for one, other in topology.bonds.tolist()),
        ring=tuple(topology.ring.tolist()),
        groups=kept_groups(topology),
        frames=tuple(_kept_frame(flip, frame, floor) for frame in frames),
        map=tuple((one.theta_deg, one.phi_deg, round(one.energy_kcal_mol, 3)) for one in points),
    )


def kept_groups(topology: Topology) -> tuple[KeptGroup, ...]:
    """The groups of a molecule, in the order of its ring carbons."""
    return tuple(
        KeptGroup(carbon=locant, face=ligand.face, atom=ligand.atom, group=ligand.group)
        for locant, ligand in topology.groups
    )


def _rounded(levels: FlipLevels) -> FlipLevels:
    """To decimals that do not depend on the machine."""
    path = tuple(
        replace(
            level,
            potential_kcal_mol=round(level.potential_kcal_mol, 4),
            enthalpy_kcal_mol=round(level.enthalpy_kcal_mol, 4),
            gibbs_kcal_mol=round(level.gibbs_kcal_mol, 4),
        )
        for level in levels.path
    )
    if not levels.barriers_kcal_mol:
        return replace(levels, path=path)
    from_a, from_b = levels.barriers_kcal_mol
    return replace(levels, path=path, barriers_kcal_mol=(round(from_a, 4), round(from_b, 4)))


def _kept_frame(flip: Flip, frame: PathFrame, floor_kcal_mol: float) -> KeptFrame:
    topology = flip.molecule.topology
    ligands = ligand_positions(topology, frame.positions, frame.shape)
    return KeptFrame(
        positions=tuple((x, y, z) for x, y, z in _seen(frame.positions, topology.ring).tolist()),
        energy_kcal_mol=round(frame.energy_kcal_mol - floor_kcal_mol, 4),
        theta_deg=round(frame.shape.theta_deg, 2),
        phi_deg=round(frame.shape.phi_deg, 2),
        family=frame.shape.family,
        form=frame.shape.form,
        place=frame.place,
        stands=tuple(one.position for one in ligands if one.group != "H"),
    )


def _seen(positions: Floats, ring: Integers) -> Floats:
    """Positions (n, 3) from where the onlooker stands."""
    places = positions[ring]
    seen: Floats = np.round((positions - places.mean(axis=0)) @ onlooker(places).T, 3)
    return seen


def kept_bytes(kept: KeptFlip) -> bytes:
    """flip.json."""
    return msgspec.json.encode(kept) + b"\n"


def read_kept(path: Path) -> KeptFlip:
    """What flip.json holds. Raises InputError for a file that cannot be read, is too large or not whole."""
    raw = read_bytes(path, at_most_mb=_MOST_MB, if_too_large=_AGAIN)
    try:
        kept = msgspec.json.decode(raw, type=KeptFlip)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise _not_ours(path, str(error)) from None
    faults = [what for what, holds in _checks(kept) if not holds]
    if faults:
        raise _not_ours(path, f"wrong: {', '.join(faults)}")
    return kept


def _not_ours(path: Path, why: str) -> InputError:
    return InputError(
        f"This is no {KEPT} as chairgap writes it ({why}). {_AGAIN}", place=Place(file=str(path))
    )


def _checks(kept: KeptFlip) -> Iterator[tuple[str, bool]]:
    """What has to fit together and to keep within all bounds, and whether it does."""
    atoms, levels = len(kept.symbols), kept.levels
    yield "symbols", atoms <= _MOST_ATOMS and all(len(one) <= 3 and one.isalpha() for one in kept.symbols)
    indices = [*kept.ring, *chain(*kept.bonds), *(group.atom for group in kept.groups)]
    yield "atoms", all(0 <= index < atoms for index in indices) and len(set(kept.ring)) == 6
    yield "bonds", len(kept.bonds) <= 2 * _MOST_ATOMS
    yield "groups", len(kept.groups) <= 12 and all(1 <= group.carbon <= 6 for group in kept.groups)
    yield "frames", len(kept.frames) <= _MOST_FRAMES and bool(levels.path) == bool(kept.frames)
    yield "levels and map", len(levels.path) <= _MOST_LEVELS and len(kept.map) <= _MOST_POINTS
    yield "positions", all(len(frame.positions) == atoms for frame in kept.frames)
    yield "groups of a frame", all(len(frame.stands) == len(kept.groups) for frame in kept.frames)
    yield "length of a text", all(len(word) <= _MOST_LETTERS for word in _words(kept))
    yield "numbers", all(math.isfinite(value) and abs(value) <= _LARGEST for value in _numbers(kept))


def _words(kept: KeptFlip) -> Iterator[str]:
    levels = kept.levels
    yield from (kept.smiles, kept.groups_by_face, levels.molecule, levels.model, levels.note, *levels.chairs)
    yield from (level.name for level in levels.path)
    yield from (group.group for group in kept.groups)
    for frame in kept.frames:
        yield from (frame.form, frame.place)


def _numbers(kept: KeptFlip) -> Iterator[float]:
    yield from (kept.levels.temperature_k, *(kept.levels.barriers_kcal_mol or ()))
    yield from chain(*kept.map, *(level.energies_kcal_mol for level in kept.levels.path))
    for frame in kept.frames:
        yield from (frame.energy_kcal_mol, frame.theta_deg, frame.phi_deg)
        yield from chain(*frame.positions)
