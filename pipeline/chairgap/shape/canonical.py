"""The 38 canonical six-ring conformations on the Cremer-Pople sphere, and the nearest one to a ring.

2 chairs (C), 6 boats (B), 6 twist-boats (S, 'skew'), 12 half-chairs (H) and 12 envelopes (E). Their
places follow from the definition: theta of E is atan(sqrt 2) = 54.74 and of H atan(sqrt 1.5) = 50.77
degrees, or 180 minus that (J. C. A. Boeyens, J. Cryst. Mol. Struct. 1978, 8, 317). Labels follow IUPAC-IUB
JCBN, Pure Appl. Chem. 1981, 53, 1901 (doi 10.1351/pac198153101901): raised atoms before the letter, lowered
atoms behind it, and of two equal descriptions the one with the lowest atom number out of the plane.
"""

from dataclasses import dataclass

import numpy as np

from chairgap.records import Floats, RingFamily, RingShape
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


def _all_forms() -> tuple[CanonicalForm, ...]:
    forms = [
        CanonicalForm(label="1C4", family="chair", theta_deg=0.0, phi_deg=0.0),
        CanonicalForm(label="4C1", family="chair", theta_deg=180.0, phi_deg=0.0),
    ]
    for step in range(6):
        atom = _wrap(step + 1)
        pair = ",".join(str(number) for number in sorted((atom, _wrap(atom + 3))))
        boat = f"{pair}B" if step % 2 == 0 else f"B{pair}"
        forms.append(CanonicalForm(label=boat, family="boat", theta_deg=90.0, phi_deg=60.0 * step))
        skew = _skew_label(step)
        forms.append(
            CanonicalForm(label=skew, family="twist-boat", theta_deg=90.0, phi_deg=30.0 + 60.0 * step)
        )
        for north in (True, False):
            forms.extend(_tilted_forms(step, north))
    return tuple(forms)


def _tilted_forms(step: int, north: bool) -> list[CanonicalForm]:
    atom, raised = _envelope_atom(step, north)
    neighbour, _ = _envelope_atom(step + 1, north)
    up, down = (atom, neighbour) if raised else (neighbour, atom)
    theta_e, theta_h = (_THETA_E, _THETA_H) if north else (180.0 - _THETA_E, 180.0 - _THETA_H)
    return [
        CanonicalForm(
            label=f"{atom}E" if raised else f"E{atom}",
            family="envelope",
            theta_deg=theta_e,
            phi_deg=60.0 * step,
        ),
        CanonicalForm(
            label=f"{up}H{down}", family="half-chair", theta_deg=theta_h, phi_deg=30.0 + 60.0 * step
        ),
    ]


CANONICAL_FORMS = _all_forms()


def _on_sphere(theta_deg: Floats, phi_deg: Floats) -> Floats:
    theta, phi = np.radians(theta_deg), np.radians(phi_deg)
    return np.stack([np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)], axis=-1)


_FORM_POINTS = _on_sphere(
    np.array([form.theta_deg for form in CANONICAL_FORMS]),
    np.array([form.phi_deg for form in CANONICAL_FORMS]),
)


def ring_shape(ring: Floats) -> RingShape:
    """Puckering and nearest canonical form of ring (6, 3) in angstrom.

    A ring with Q below PLANAR_BELOW_ANGSTROM is 'planar' with an empty form label.
    """
    q, theta, phi = puckering(ring)
    if q < PLANAR_BELOW_ANGSTROM:
        return RingShape(
            q_angstrom=q, theta_deg=theta, phi_deg=phi, family="planar", form="", distance_deg=0.0
        )
    cosines = _FORM_POINTS @ _on_sphere(np.array(theta), np.array(phi))
    nearest = int(np.argmax(cosines))
    return RingShape(
        q_angstrom=q,
        theta_deg=theta,
        phi_deg=phi,
        family=CANONICAL_FORMS[nearest].family,
        form=CANONICAL_FORMS[nearest].label,
        distance_deg=float(np.degrees(np.arccos(np.clip(cosines[nearest], -1.0, 1.0)))),
    )
