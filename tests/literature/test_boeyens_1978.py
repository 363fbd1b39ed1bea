"""The 38 canonical forms on the puckering sphere.

Places: J. C. A. Boeyens, J. Cryst. Mol. Struct. 1978, 8, 317 (numbers from memory; they follow from the
definition). Labels: IUPAC-IUB JCBN, Pure Appl. Chem. 1981, 53, 1901 (doi 10.1351/pac198153101901).
"""

import numpy as np
import pytest

from chairgap.shape.canonical import CANONICAL_FORMS, CanonicalForm, ring_shape
from chairgap.shape.puckering import displacements, puckering, ring_from_puckering

# Pyranose labels (ring atom 1 = O, 2..6 = C1..C5) at (theta, phi), written out from the JCBN rules.
PYRANOSE = {
    (0, 0): "4C1", (180, 0): "1C4",
    (90, 0): "3,OB", (90, 60): "B1,4", (90, 120): "2,5B",
    (90, 180): "B3,O", (90, 240): "1,4B", (90, 300): "B2,5",
    (90, 30): "3S1", (90, 90): "5S1", (90, 150): "2SO", (90, 210): "1S3", (90, 270): "1S5", (90, 330): "OS2",
    (54.7, 0): "OE", (54.7, 60): "E1", (54.7, 120): "2E",
    (54.7, 180): "E3", (54.7, 240): "4E", (54.7, 300): "E5",
    (125.3, 0): "3E", (125.3, 60): "E4", (125.3, 120): "5E", (125.3, 180): "EO", (125.3, 240): "1E",
    (125.3, 300): "E2",
    (50.8, 30): "OH1", (50.8, 90): "2H1", (50.8, 150): "2H3", (50.8, 210): "4H3", (50.8, 270): "4H5",
    (50.8, 330): "OH5",
    (129.2, 30): "3H4", (129.2, 90): "5H4", (129.2, 150): "5HO", (129.2, 210): "1HO", (129.2, 270): "1H2",
    (129.2, 330): "3H2",
}  # fmt: skip


def raised_and_lowered(label: str) -> tuple[set[int], set[int]]:
    """Ring atoms 1..6 above and below the reference plane, from a label."""
    letter = next(character for character in label if character in "CBSHE")
    above, below = label.split(letter)
    return tuple({int(word) for word in part.split(",") if word} for part in (above, below))  # type: ignore[return-value]


def from_pyranose(label: str) -> tuple[set[int], set[int]]:
    letter = next(character for character in label if character in "CBSHE")
    parts = []
    for part in label.split(letter):
        words = part.split(",") if part else []
        parts.append({1 if word == "O" else int(word) + 1 for word in words})
    return tuple(parts)  # type: ignore[return-value]


def by_family() -> dict[str, int]:
    counts: dict[str, int] = {}
    for form in CANONICAL_FORMS:
        counts[form.family] = counts.get(form.family, 0) + 1
    return counts


def test_numbers_of_forms() -> None:
    assert by_family() == {"chair": 2, "boat": 6, "twist-boat": 6, "half-chair": 12, "envelope": 12}
    assert len({form.label for form in CANONICAL_FORMS}) == 38


@pytest.mark.parametrize("form", CANONICAL_FORMS, ids=lambda form: form.label)
def test_round_trip(form: CanonicalForm) -> None:
    ring = ring_from_puckering(0.6, form.theta_deg, form.phi_deg)
    q, theta, _ = puckering(ring)
    assert (q, theta) == pytest.approx((0.6, form.theta_deg), abs=1e-9)
    shape = ring_shape(ring)
    assert (shape.form, shape.family) == (form.label, form.family)
    assert shape.distance_deg == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize(
    "form", [f for f in CANONICAL_FORMS if f.family != "chair"], ids=lambda form: form.label
)
def test_phi_round_trip(form: CanonicalForm) -> None:
    _, _, phi = puckering(ring_from_puckering(0.6, form.theta_deg, form.phi_deg))
    assert (phi - form.phi_deg + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("form", CANONICAL_FORMS, ids=lambda form: form.label)
def test_label_tells_which_atoms_leave_the_plane(form: CanonicalForm) -> None:
    """Independent of how labels are made: the atoms not named are coplanar, the named ones stand off it."""
    z = displacements(ring_from_puckering(0.6, form.theta_deg, form.phi_deg))
    angle = -2.0 * np.pi * np.arange(6) / 6.0
    plane_of = np.column_stack([np.cos(angle), np.sin(angle), np.ones(6)])
    above, below = raised_and_lowered(form.label)
    in_plane = [atom for atom in range(6) if atom + 1 not in above | below]
    coefficients, *_ = np.linalg.lstsq(plane_of[in_plane], z[in_plane], rcond=None)
    height = z - plane_of @ coefficients
    assert height[in_plane] == pytest.approx(0.0, abs=1e-9)
    assert all(height[atom - 1] > 0.05 for atom in above)
    assert all(height[atom - 1] < -0.05 for atom in below)


@pytest.mark.parametrize(("place", "label"), PYRANOSE.items())
def test_published_pyranose_labels(place: tuple[float, float], label: str) -> None:
    nearest = min(
        CANONICAL_FORMS,
        key=lambda form: abs(form.theta_deg - place[0]) + abs(form.phi_deg - place[1]),
    )
    z = displacements(ring_from_puckering(0.6, nearest.theta_deg, nearest.phi_deg))
    above, below = from_pyranose(label)
    # JCBN prefers the lowest *carbon* number out of the plane; with O as atom 1 that may be the other, equal
    # pair of a chair or twist-boat. In every description the named atoms stand on their side.
    assert all(z[atom - 1] > 0.05 for atom in above)
    assert all(z[atom - 1] < -0.05 for atom in below)
    if nearest.family in ("boat", "half-chair", "envelope"):
        assert raised_and_lowered(nearest.label) == (above, below)
