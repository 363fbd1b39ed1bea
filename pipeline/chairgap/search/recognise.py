"""Starts that need not be minimised, recognised by their torsions before anything is spent on them.

Looked at are the dihedrals along every chain of four labelled atoms; equal atoms may be exchanged, and mirror
images count as equal, as far as the lattice's relabellings go.

- A start whose dihedrals all lie within NEAR_DEG of those of a known minimum falls into it. Of the 11,422
  starts of the 60 molecules of tests/benchmarks 1208 are such, and one of them led elsewhere, to a minimum
  met otherwise; of 2907 minima of 88 other molecules none is lost. Within 20 degrees it is 2618 and 6, and
  three are lost, all of them twist-boats, whose minima lie near each other.
- A lattice start within SAME_DEG of an earlier one is that start again by symmetry.
- A way downhill is in the basin of a known minimum where all dihedrals are within _ON_THE_WAY_DEG of it, its
  energy is at most _BASIN_KCAL_MOL above it, and the whole of its next quasi-Newton step would bring the
  largest difference down to _NEARER of itself or less. The last is what soft rotors need: either chair of the
  isothiocyanate has two minima 9 to 10 degrees and less than 0.01 kcal/mol apart, and by nearness alone one
  of them, the lowest of its chair, was lost. Of 2,620 ways of 32 small molecules 1,978 end in known minima;
  within 10 degrees and 1 kcal/mol, with 0.8, all of these are left, and none of the others; but of the
  tosylate (tests/benchmarks/left_early.py, the others), whose minima lie as near each other, ten were lost.
  With the bounds below it keeps all, and 558 ways of 635 are left instead of 544.

Nearness to an earlier start proves nothing otherwise: turned rotors in relaxed geometries reach minima that
placed starts with the same angles do not.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from chairgap.minimise.verified import Basins
from chairgap.records import Floats, Integers
from chairgap.search.lattice import Lattice
from chairgap.shape.torsions import Directions, any_within, torsion_directions

NEAR_DEG = 10.0
SAME_DEG = 5.0
_ON_THE_WAY_DEG = 5.0
_BASIN_KCAL_MOL = 0.3
_NEARER = 0.5
# Of more relabellings than this only the first are looked at, the identity among them; what the others would
# recognise is minimised.
_MOST_RELABELLINGS = 200
# Only a sieve: the sums of cos a and cos 2a over all dihedrals, which no relabelling changes, differ between
# equal starts by less than this share of their number.
_SIEVE = 0.02


@dataclass(kw_only=True)
class Recogniser:
    """Working memory of one search: `minima` (m, t) holds the dihedrals of known minima in every relabelling,
    energies_kcal_mol (m,) their energies, `starts` the dihedrals (t,) of lattice starts, `sums` the two sums
    of their cosines. chains (t, 4) are followed through the relabellings in images (g, t, 4), of which
    mirrored (g,) are mirror images."""

    chains: Integers
    images: Integers
    mirrored: NDArray[np.bool_]
    minima: Directions
    energies_kcal_mol: Floats
    starts: list[Directions] = field(default_factory=list)
    sums: list[tuple[float, float]] = field(default_factory=list)

    def keep_minimum(self, positions: Floats, energy_kcal_mol: float) -> None:
        """Remember a minimum (n, 3)."""
        images = self._every_image(positions)
        self.minima = np.concatenate([self.minima, images])
        self.energies_kcal_mol = np.append(self.energies_kcal_mol, np.full(len(images), energy_kcal_mol))

    @property
    def basins(self) -> Basins:
        """The known minima, for a way downhill."""
        return Basins(
            chains=self.chains,
            directions=self.minima,
            energies_kcal_mol=self.energies_kcal_mol,
            within_deg=_ON_THE_WAY_DEG,
            above_kcal_mol=_BASIN_KCAL_MOL,
            nearer=_NEARER,
        )

    def is_near_minimum(self, positions: Floats) -> bool:
        """Whether a start (n, 3) lies in the neighbourhood of a known minimum."""
        return any_within(self.minima, torsion_directions(positions, self.chains), NEAR_DEG)

    def is_repeat(self, positions: Floats) -> bool:
        """Whether symmetry makes a lattice start (n, 3) an earlier one; it is remembered if not."""
        own = torsion_directions(positions, self.chains)
        sums = float(own.real.sum()), float((own * own).real.sum())
        apart = np.abs(np.array(self.sums).reshape(-1, 2) - sums)
        alike = np.flatnonzero((apart < _SIEVE * len(own)).all(axis=1)).tolist()
        if alike:
            images = self._every_image(positions)
            if any(any_within(images, self.starts[index], SAME_DEG) for index in alike):
                return True
        self.starts.append(own)
        self.sums.append(sums)
        return False

    def _every_image(self, positions: Floats) -> Directions:
        directions = torsion_directions(positions, self.images)
        return np.where(self.mirrored[:, None], directions.conj(), directions)


def recogniser(lattice: Lattice) -> Recogniser:
    """A recogniser that knows nothing yet."""
    topology, relabellings = lattice.molecule.topology, lattice.relabellings
    rows = np.concatenate(
        [np.flatnonzero(relabellings.mirrored == sign)[: _MOST_RELABELLINGS // 2] for sign in (1, -1)]
    )
    place = np.zeros(len(topology.symbols), dtype=np.int64)
    place[topology.labelled] = np.arange(len(topology.labelled))
    return Recogniser(
        chains=lattice.chains,
        images=relabellings.maps[rows][:, place[lattice.chains]],
        mirrored=relabellings.mirrored[rows] == -1,
        minima=np.empty((0, len(lattice.chains)), dtype=np.complex128),
        energies_kcal_mol=np.empty(0),
    )
