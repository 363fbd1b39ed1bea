"""Ring flips in few words. A test process computes each of them once."""

from dataclasses import replace
from functools import cache

from threadpoolctl import threadpool_limits

from chairgap.flip.landscape import Ground
from chairgap.flip.recipe import compute_flip
from chairgap.records import Flip, FlipSaddle, ForceField
from pipeline_helpers import SETTINGS, molecule


@cache
def flipped(groups_by_face: str, force_field: ForceField = "MMFF94", seed: int = 1) -> tuple[Flip, Ground]:
    """The flip of a list of groups by face, and what frames and maps go on from."""
    search = replace(SETTINGS.search, seed=seed)
    with threadpool_limits(1):
        return compute_flip(
            molecule(groups_by_face), replace(SETTINGS, force_field=force_field, search=search)
        )


def above_lowest(flip: Flip, saddle: FlipSaddle) -> float:
    return saddle.saddle.energy_kcal_mol - flip.minima[0].minimum.energy_kcal_mol


def of_kind(flip: Flip, kind: str) -> list[FlipSaddle]:
    return [item for item in flip.saddles if item.kind == kind]
