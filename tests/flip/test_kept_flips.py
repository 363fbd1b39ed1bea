"""flip.json: what is shown again is what was computed; what is broken or leads elsewhere is not taken."""

import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from chairgap.errors import InputError
from chairgap.flip.found import find_flips, molecule_key
from chairgap.flip.frames import path_frames
from chairgap.flip.kept import KEPT, kept_bytes, kept_flip, read_kept
from chairgap.records import SpherePoint
from flip_helpers import flipped
from made_flips import made_flip, put_flip
from pipeline_helpers import treated

CHLORO, METHYL = "1 up Cl", "1 up CH3"


def test_a_flip_is_kept_as_it_was_computed(tmp_path: Path) -> None:
    """Distances between all atoms, energies, and how the group stands; the ring's middle at the origin, its
    mean plane seen from 22 degrees above."""
    flip, ground = flipped(METHYL)
    frames = path_frames(flip, ground)
    point = SpherePoint(
        theta_deg=15.0, phi_deg=30.0, q_angstrom=0.5, energy_kcal_mol=4.0, spread_kcal_mol=0.0, walks=1
    )
    kept = kept_flip(flip, frames, (point,), "MMFF94")
    path = put_flip(tmp_path, kept)
    assert read_kept(path) == kept and path.read_bytes() == kept_bytes(kept)
    floor = flip.minima[0].minimum.energy_kcal_mol
    assert len(kept.frames) == len(frames) and kept.map == ((15.0, 30.0, 4.0),)
    for one, frame in zip(kept.frames, frames, strict=True):
        seen, own = np.array(one.positions), frame.positions
        apart, expected = (np.linalg.norm(places[:, None] - places[None], axis=-1) for places in (seen, own))
        assert np.abs(apart - expected).max() < 0.002
        assert np.abs(seen[list(kept.ring)].mean(axis=0)).max() < 0.002
        # Right-handed: no mirror image.
        corner = [kept.ring[0], kept.ring[2], kept.ring[4], kept.groups[0].atom]
        sides = [np.linalg.det(places[corner[1:]] - places[corner[0]]) for places in (seen, own)]
        assert np.sign(sides[0]) == np.sign(sides[1])
        assert one.energy_kcal_mol == pytest.approx(frame.energy_kcal_mol - floor, abs=1e-4)
    assert (kept.frames[0].stands, kept.frames[-1].stands) == (("equatorial",), ("axial",))
    assert kept.frames[0].place == "minimum 1" and kept.north == "B"
    assert [level.kind for level in kept.levels.path] == ["minimum", "saddle"] * 4 + ["minimum"]
    assert find_flips(tmp_path).flips[molecule_key(flip.molecule)].kept == kept


BROKEN: dict[str, Any] = {
    "no JSON": b"[1, 2",
    "not text": b'{"smiles": "\xff"}',
    "another thing": b'{"title": "my notes"}',
    "a number too few": lambda one: one["frames"][3]["positions"].pop(),
    "an atom that is not there": lambda one: one["bonds"].append([0, 99]),
    "a ring of five": lambda one: one["ring"].pop(),
    "twice the same ring atom": lambda one: one["ring"].__setitem__(0, one["ring"][1]),
    "a ring carbon 7": lambda one: one["groups"][0].__setitem__("carbon", 7),
    "a text for a number": lambda one: one["frames"][0].__setitem__("energy_kcal_mol", "high"),
    "an enormous number": lambda one: one["frames"][0].__setitem__("energy_kcal_mol", 1e300),
    "a form of no family": lambda one: one["frames"][0].__setitem__("family", "sofa"),
    "a group standing nowhere": lambda one: one["frames"][0]["stands"].append("axial"),
    "thousands of frames": lambda one: one.__setitem__("frames", 200 * one["frames"]),
    "a long name": lambda one: one["levels"].__setitem__("molecule", 3000 * "x"),
    "a symbol that is none": lambda one: one["symbols"].__setitem__(0, "<b>"),
    "levels without frames": lambda one: one.__setitem__("frames", []),
}


@pytest.mark.parametrize("what", BROKEN)
def test_what_is_broken_is_said_in_one_sentence(tmp_path: Path, what: str) -> None:
    path, broken = put_flip(tmp_path, made_flip(treated(CHLORO)), "chloro"), BROKEN[what]
    if isinstance(broken, bytes):
        path.write_bytes(broken)
    else:
        content = json.loads(path.read_bytes())
        broken(content)
        path.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_kept(path)
    assert caught.value.message.startswith("This is no flip.json as chairgap writes it (")
    assert caught.value.message.endswith("Run chairgap flip again.") and len(caught.value.message) < 300
    found = find_flips(tmp_path)
    assert not found.flips
    assert found.faults == (f"flip/chloro/flip.json is not shown: {caught.value.message}",)


def test_a_file_too_large_is_not_read(tmp_path: Path) -> None:
    with put_flip(tmp_path, made_flip(treated(CHLORO))).open("ab") as file:
        file.truncate(9_000_000)
    found = find_flips(tmp_path)
    assert not found.flips and "larger than 8 MB" in found.faults[0]


def test_flips_lie_in_the_folder_or_in_folders_of_it(tmp_path: Path) -> None:
    kinds = [made_flip(treated(groups)) for groups in (CHLORO, METHYL)]
    put_flip(tmp_path, kinds[0])
    put_flip(tmp_path, kinds[1], "methyl")
    put_flip(tmp_path, kinds[1], "methyl-again")
    put_flip(tmp_path, kinds[1], "deeper/than/that")
    found = find_flips(tmp_path)
    assert [(one.folder, one.kept) for one in found.flips.values()] == [
        ("flip", kinds[0]),
        ("flip/methyl", kinds[1]),
    ]
    assert found.faults == ("flip/methyl-again is not shown: flip/methyl is of the same molecule.",)
    assert find_flips(tmp_path / "flip" / "methyl").flips == {}


@pytest.mark.parametrize("link", ["flip", "flip/chloro", "flip/chloro/flip.json"])
def test_no_link_is_followed(tmp_path: Path, link: str) -> None:
    outside, study = tmp_path / "outside", tmp_path / "study"
    put_flip(outside, made_flip(treated(CHLORO)), "chloro")
    (study / link).parent.mkdir(parents=True)
    (study / link).symlink_to(outside / link)
    found = find_flips(study)
    assert not found.flips
    expected = "flip/chloro/flip.json is not shown: It is no plain file. Run chairgap flip again."
    assert found.faults == ((expected,) if link.endswith(KEPT) else ())


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    (tmp_path / "flip").mkdir()
    os.mkfifo(tmp_path / "flip" / KEPT)
    assert find_flips(tmp_path).faults == (
        "flip/flip.json is not shown: It is no plain file. Run chairgap flip again.",
    )


def test_another_numbering_is_another_molecule() -> None:
    molecule = treated(CHLORO).molecule
    assert molecule_key(molecule) == molecule_key(replace(molecule, name="x"))
    assert molecule_key(molecule) != molecule_key(replace(molecule, groups_by_face="4 up Cl"))
