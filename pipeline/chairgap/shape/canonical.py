"""The 38 canonical six-ring conformations on the Cremer-Pople sphere, and the nearest one to a ring.

2 chairs (C), 6 boats (B), 6 twist-boats (S, 'skew'), 12 half-chairs (H) and 12 envelopes (E). Their
places follow from the definition: theta of E is atan(sqrt 2) = 54.74 and of H atan(sqrt 1.5) = 50.77
degrees, or 180 minus that (J. C. A. Boeyens, J. Cryst. Mol. Struct. 1978, 8, 317). Labels follow IUPAC-IUB
JCBN, Pure Appl. Chem. 1981, 53, 1901 (doi 10.1351/pac198153101901): raised atoms before the letter, lowered
atoms behind it, and of two equal descriptions the one with the lowest atom number out of the plane.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from chairgap.records import Floats, RingFamily, RingShape
from chairgap.shape.pucker_vector import on_sphere
from chairgap.shape.puckering import puckering

PLANAR_BELOW_ANGSTROM = 0.05
_THETA_E = float(np.degrees(np.arctan(np.sqrt(2.0))))
_THETA_H = float(np.degrees(np.arctan(np.sqrt(1.5))))


@dataclass(frozen=True, kw_only=True)
class CanonicalForm:
    """One of the 38 forms: label, family and place on the sphere (degrees)."""

    label: str
    family: RingFamily
    theta_deg: float
    phi_deg: float


def _wrap(number: int) -> int:
    return (number - 1) % 6 + 1


def _envelope_atom(step: int, north: bool) -> tuple[int, bool]:
    """(atom, raised?) of the envelope at phi = 60 step; raised and lowered atoms alternate with phi."""
    return (_wrap(step + 1) if north else _wrap(step + 4)), step % 2 == 0


def _skew_label(step: int) -> str:
    """Twist-boat at phi = 30 + 60 step: two raised and two lowered atoms; name the 1,3-related pair."""
    z = np.cos(np.radians(30.0 + 60.0 * step) + 4.0 * np.pi * np.arange(6) / 6.0)
    raised = [j + 1 for j in range(6) if z[j] > 0.5]
    lowered = [j + 1 for j in range(6) if z[j] < -0.5]
    pairs = [(up, down) for up in raised for down in lowered if (up - down) % 6 in (2, 4)]
    up, down = min(pairs, key=lambda pair: sorted(pair))
    return f"{up}S{down}"


def _all_forms() -> Iterator[tuple[str, RingFamily, float, float]]:
    yield "1C4", "chair", 0.0, 0.0
    yield "4C1", "chair", 180.0, 0.0
    for step in range(6):
        atom, phi = _wrap(step + 1), 60.0 * step
        pair = ",".join(str(number) for number in sorted((atom, _wrap(atom + 3))))
        yield f"{pair}B" if step % 2 == 0 else f"B{pair}", "boat", 90.0, phi
        yield _skew_label(step), "twist-boat", 90.0, 30.0 + phi
        for north in (True, False):
            atom, raised = _envelope_atom(step, north)
            neighbour, _ = _envelope_atom(step + 1, north)
            up, down = (atom, neighbour) if raised else (neighbour, atom)
            yield f"{atom}E" if raised else f"E{atom}", "envelope", _tilt(_THETA_E, north), phi
            yield f"{up}H{down}", "half-chair", _tilt(_THETA_H, north), 30.0 + phi


def _tilt(theta_deg: float, north: bool) -> float:
    return theta_deg if north else 180.0 - theta_deg


CANONICAL_FORMS = tuple(
    CanonicalForm(label=label, family=family, theta_deg=theta, phi_deg=phi)
    for label, family, theta, phi in _all_forms()
)


_FORM_POINTS = on_sphere(
    1.0,
    np.array([form.theta_deg for form in CANONICAL_FORMS]),
    np.array([form.phi_deg for form in CANONICAL_FORMS]),
)


def ring_shape(ring: Floats) -> RingShape:
    """Puckering and nearest canonical form of ring (6, 3) in angstrom.

    A ring with Q below PLANAR_BELOW_ANGSTROM is 'planar' with an empty form label.
    """
    q, theta, phi = puckering(ring)
    shape = RingShape(q_angstrom=q, theta_deg=theta, phi_deg=phi, family="planar", form="", distance_deg=0.0)
    if q < PLANAR_BELOW_ANGSTROM:
        return shape
    cosines = _FORM_POINTS @ on_sphere(1.0, theta, phi)
    nearest = int(np.argmax(cosines))
    return replace(
        shape,
        family=CANONICAL_FORMS[nearest].family,
        form=CANONICAL_FORMS[nearest].label,
        distance_deg=float(np.degrees(np.arccos(np.clip(cosines[nearest], -1.0, 1.0)))),
    )
