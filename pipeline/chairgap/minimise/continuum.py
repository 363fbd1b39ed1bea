"""Generalised-Born polarisation of fixed charges: energy, gradient and Hessian in closed form. Pure.

Model II of Onufriev, Bashford, Case, Proteins 2004, 55, 383 (doi 10.1002/prot.20033, from memory), with the
pairwise integral of Hawkins, Cramer, Truhlar, J. Phys. Chem. 1996, 100, 19824 (doi 10.1021/jp961710n, from
memory). Everything here is the conductor's limit, eps infinite: for any other permittivity energy, gradient
and Hessian are the same numbers times one factor (`chairgap.minimise.solvated`), since the Born radii do not
depend on it.

The integral is taken in the form that holds where no atom lies inside the screened sphere of another; nuclei
would have to be closer than 0.6 angstrom.
"""

from dataclasses import dataclass

import numpy as np

from chairgap.records import Floats

# OpenMM's; MMFF's own 332.0716 belongs to its Coulomb terms, 2e-5 more.
COULOMB_KCAL_ANGSTROM_PER_E2 = 332.06371329919216
OFFSET_ANGSTROM = 0.09
_BETA, _GAMMA = 0.8, 4.85
# A bound of the integral moves with r where it lies outside the atom's own sphere, up to rounding.
_MOVES = 1.0 - 1e-12


@dataclass(frozen=True, kw_only=True, eq=False)
class Continuum:
    """n atoms against a continuum: charges (n,), intrinsic radii (n,), screening factors (n,)."""

    charges_e: Floats
    radii_angstrom: Floats
    screening: Floats

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        """Energy of polarisation, kcal/mol, and gradient (n, 3), kcal/mol/angstrom, at positions (n, 3)."""
        pairs, spheres, _, charge = self._at(positions_angstrom)
        # (1) dE/dx_i = sum_j S_ij e_ij
        slope = _slope(charge, _integral_slope(pairs, spheres))
        return charge.energy, np.einsum("ij,ijk->ik", slope, pairs.along)

    def hessian(self, positions_angstrom: Floats) -> Floats:
        """Second derivatives (3n, 3n), kcal/mol/angstrom^2, at positions (n, 3)."""
        pairs, spheres, born, charge = self._at(positions_angstrom)
        atoms = len(positions_angstrom)
        bend = _integral_bend(pairs, spheres)
        integral_slope = _integral_slope(pairs, spheres)
        curved = _curved(charge, born)
        straight = charge.by_integral[:, None] * bend
        # (2) curvature along r_ij and across it, at fixed integrals
        along = curved.by_distances + straight + straight.T
        across = _slope(charge, integral_slope) * pairs.inverse
        both = pairs.along[:, :, :, None] * pairs.along[:, :, None, :]
        blocks = (along - across)[:, :, None, None] * both + across[:, :, None, None] * np.eye(3)
        whole = -blocks
        whole[np.arange(atoms), np.arange(atoms)] = blocks.sum(axis=1)
        direct = whole.transpose(0, 2, 1, 3).reshape(3 * atoms, 3 * atoms)
        # (3) H = direct + J^T E_II J + J^T N + N^T J, J = dI/dx, N = d(dE/dI)/dx at fixed integrals
        integrals = _spread(integral_slope, pairs)
        half = integrals.T @ (0.5 * curved.by_integrals @ integrals + _spread(curved.mixed, pairs))
        result: Floats = direct + half + half.T
        return result

    def _at(self, positions: Floats) -> "tuple[_Pairs, _Spheres, _Born, _Charge]":
        pairs = _pairs(positions)
        spheres = _spheres(pairs, self.radii_angstrom, self.screening)
        born = _born(pairs, spheres, self.radii_angstrom)
        return pairs, spheres, born, _charge(self.charges_e, pairs, born)


@dataclass(frozen=True, kw_only=True, eq=False)
class _Pairs:
    """Distances r_ij (n, n), 1/r_ij (0 on the diagonal), unit vectors from j to i (n, n, 3)."""

    distance: Floats
    inverse: Floats
    along: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class _Spheres:
    """What the screened sphere of j takes from the integral of i, (n, n) each: bounds l and u, l^2 - u^2,
    ln(u/l), s_j^2/r; and the reduced radii o_i (n, 1)."""

    own: Floats
    lower: Floats
    upper: Floats
    squares: Floats
    logarithm: Floats
    shape: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class _Born:
    """Born radii R (n,) with first and second derivative by the atom's own integral I_i."""

    radius: Floats
    first: Floats
    second: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class _Charge:
    """Energy with its first derivatives by r_ij (n, n) at fixed integrals, and by the integrals (n,); what
    both have in common with the second ones."""

    energy: float
    by_distance: Floats
    by_integral: Floats
    by_radius: Floats
    product: Floats
    ratio: Floats
    decay: Floats
    r: Floats
    by_r: Floats
    by_a: Floats
    once: Floats
    twice: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class _Curved:
    """Second derivatives of the energy by r_ij twice, by two integrals, by r_ij and I_i: (n, n) each."""

    by_distances: Floats
    by_integrals: Floats
    mixed: Floats


def _pairs(positions: Floats) -> _Pairs:
    arms = positions[:, None, :] - positions[None, :, :]
    distance = np.sqrt(np.einsum("ijk,ijk->ij", arms, arms))
    inverse = 1.0 / (distance + np.eye(len(positions)))
    _diagonal(inverse)[:] = 0.0
    return _Pairs(distance=distance, inverse=inverse, along=arms * inverse[:, :, None])


def _spheres(pairs: _Pairs, radii: Floats, screening: Floats) -> _Spheres:
    reduced = radii - OFFSET_ANGSTROM
    own = reduced[:, None]
    size = screening * reduced
    # (4) l = 1 / max(o_i, r - s_j), u = 1 / max(o_i, r + s_j)
    near, far = np.maximum(own, pairs.distance - size), np.maximum(own, pairs.distance + size)
    lower, upper = 1.0 / near, 1.0 / far
    return _Spheres(
        own=own,
        lower=lower,
        upper=upper,
        squares=lower**2 - upper**2,
        logarithm=np.log(near * upper),
        shape=size**2 * pairs.inverse,
    )


def _born(pairs: _Pairs, spheres: _Spheres, radii: Floats) -> _Born:
    # (5) I_ij = 1/2 [l - u + r/4 (u^2 - l^2) + ln(u/l)/(2r) + s^2/(4r) (l^2 - u^2)]
    integral = spheres.lower - spheres.upper - 0.25 * (pairs.distance - spheres.shape) * spheres.squares
    integral += 0.5 * spheres.logarithm * pairs.inverse
    _diagonal(integral)[:] = 0.0
    # (6) psi = I o, 1/R = 1/o - tanh(psi - 0.8 psi^2 + 4.85 psi^3) / rho
    reduced = spheres.own[:, 0]
    psi = 0.5 * integral.sum(axis=1) * reduced
    bent = np.tanh(psi * (1.0 - psi * (_BETA - _GAMMA * psi)))
    step = reduced * (1.0 - psi * (2.0 * _BETA - 3.0 * _GAMMA * psi))
    turn = reduced**2 * (6.0 * _GAMMA * psi - 2.0 * _BETA)
    level = (1.0 - bent**2) / radii
    radius = 1.0 / (1.0 / reduced - bent / radii)
    first = radius**2 * level * step
    second = 2.0 * first**2 / radius + radius**2 * level * (turn - 2.0 * bent * step**2)
    return _Born(radius=radius, first=first, second=second)


def _integral_slope(pairs: _Pairs, spheres: _Spheres) -> Floats:
    """dI_i/dr_ij (n, n); what l and u contribute vanishes where they move."""
    slope = -0.25 * (1.0 + spheres.shape * pairs.inverse) * spheres.squares
    slope -= 0.5 * spheres.logarithm * pairs.inverse**2
    _diagonal(slope)[:] = 0.0
    return 0.5 * slope


def _integral_bend(pairs: _Pairs, spheres: _Spheres) -> Floats:
    """d^2I_i/dr_ij^2 (n, n)."""
    inverse, lower, upper = pairs.inverse, spheres.lower, spheres.upper
    rest = 1.0 + spheres.shape * inverse
    bend = spheres.logarithm * inverse**3 + 0.5 * spheres.shape * spheres.squares * inverse**2
    bend += 0.5 * lower * (lower**2 * rest - inverse**2) * (lower * spheres.own < _MOVES)
    bend -= 0.5 * upper * (upper**2 * rest - inverse**2) * (upper * spheres.own < _MOVES)
    _diagonal(bend)[:] = 0.0
    return 0.5 * bend


def _charge(charges: Floats, pairs: _Pairs, born: _Born) -> _Charge:
    radius, r = born.radius, pairs.distance
    product = radius[:, None] * radius
    squared = r**2
    ratio = 0.25 * squared / product
    decay = np.exp(-ratio)
    # (7) f^2 = r^2 + a exp(-r^2/4a), a = R_i R_j, and its derivatives by r and a
    f2 = squared + product * decay
    by_r, by_a = r * (2.0 - 0.5 * decay), decay * (1.0 + ratio)
    # (8) phi = -C q_i q_j / f, E = 1/2 sum_ij phi_ij with i = j
    phi = (-COULOMB_KCAL_ANGSTROM_PER_E2 * charges[:, None] * charges) / np.sqrt(f2)
    once = -0.5 * phi / f2
    by_radius = (once * by_a) @ radius
    return _Charge(
        energy=0.5 * float(phi.sum()),
        by_distance=once * by_r,
        by_integral=by_radius * born.first,
        by_radius=by_radius,
        product=product,
        ratio=ratio,
        decay=decay,
        r=r,
        by_r=by_r,
        by_a=by_a,
        once=once,
        twice=-1.5 * once / f2,
    )


def _curved(charge: _Charge, born: _Born) -> _Curved:
    radius, ratio, decay = born.radius, charge.ratio, charge.decay
    by_rr = 2.0 + decay * (ratio - 0.5)
    by_ra, by_aa = -0.5 * charge.r * decay * ratio / charge.product, decay * ratio**2 / charge.product
    phi_aa = charge.twice * charge.by_a**2 + charge.once * by_aa
    # (9) by two radii, then by two integrals
    by_radii = phi_aa * charge.product + charge.once * charge.by_a
    _diagonal(by_radii)[:] += phi_aa @ radius**2
    by_integrals = by_radii * np.outer(born.first, born.first)
    _diagonal(by_integrals)[:] += charge.by_radius * born.second
    mixed = charge.twice * charge.by_r * charge.by_a + charge.once * by_ra
    return _Curved(
        by_distances=charge.twice * charge.by_r**2 + charge.once * by_rr,
        by_integrals=by_integrals,
        mixed=mixed * radius * born.first[:, None],
    )


def _slope(charge: _Charge, integral_slope: Floats) -> Floats:
    """dE/dr_ij (n, n), with what r_ij does to the integrals of both atoms."""
    through = charge.by_integral[:, None] * integral_slope
    result: Floats = charge.by_distance + through + through.T
    return result


def _spread(by_distance: Floats, pairs: _Pairs) -> Floats:
    """Cartesian derivatives (n, 3n) of n quantities whose derivatives by r_ij stand in row i (n, n)."""
    atoms = len(by_distance)
    parts = by_distance[:, :, None] * pairs.along
    whole = -parts
    whole[np.arange(atoms), np.arange(atoms)] = parts.sum(axis=1)
    return whole.reshape(atoms, 3 * atoms)


def _diagonal(square: Floats) -> Floats:
    """A view of the diagonal of a contiguous square array."""
    return square.reshape(-1)[:: len(square) + 1]
