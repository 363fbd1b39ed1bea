"""The recipe of a ring flip, one line per stage."""

from chairgap.flip.landscape import Ground, find_landscape, survey
from chairgap.flip.path import lowest_path, rates
from chairgap.records import Flip, FlipMinimum, Molecule, Settings


def compute_flip(molecule: Molecule, settings: Settings) -> tuple[Flip, Ground]:
    """Minima, saddles, lowest path and rates of one molecule, on the force field's surface in the gas phase.

    The second value is what frames and maps go on from. Raises EngineError when no minimum is found.
    """
    ground = survey(molecule, settings)
    minima, saddles, account = find_landscape(ground, settings)
    path = lowest_path(saddles, "A", "B")
    flip = Flip(
        molecule=molecule,
        chairs=ground.chairs,
        temperature_k=settings.temperature_k,
        minima=minima,
        saddles=saddles,
        search=account,
        path=path,
        rates=rates(minima, saddles, settings.temperature_k),
        note=_note(minima, joined=bool(path)),
    )
    return flip, ground


def _note(minima: tuple[FlipMinimum, ...], *, joined: bool) -> str:
    lowest = minima[0]
    held = {item.form for item in minima}
    phrases = []
    if not {"A", "B"} <= held:
        missing = " and ".join(letter for letter in ("A", "B") if letter not in held)
        phrases.append(
            f"Chair {missing} has no minimum on this surface: there is no flip from chair to chair."
        )
    elif not joined:
        phrases.append("The saddles that were found do not join the two chairs; raise the search effort.")
    if lowest.chair is None:
        phrases.append(
            f"The lowest minimum is a non-chair, {lowest.shape.family} {lowest.form}: the molecule mostly "
            "stays there, the chairs are higher minima, and the path from chair to chair runs through it."
        )
    return " ".join(phrases)
