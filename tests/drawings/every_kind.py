"""A drawing of every kind, by its name."""

from collections.abc import Callable

from chairgap.drawings.chair_pair import blank_pair, chair_pair, key_pair, question_pair
from chairgap.drawings.conformer_view import conformer_view
from chairgap.drawings.flat import flat_picture
from chairgap.drawings.flip_levels import flip_levels, levels_of
from chairgap.drawings.levels import energy_levels
from chairgap.drawings.newman import newman, newman_double
from chairgap.drawings.picture import Picture
from chairgap.drawings.ring_shapes import ring_dial
from chairgap.drawings.shares import population_bar
from chairgap.records import Floats, Topology
from flip_helpers import flipped
from pipeline_helpers import treated

MOLECULE = "1 up CH3, 2 down CH3"


def best() -> tuple[Topology, Floats]:
    result = treated(MOLECULE)
    return result.molecule.topology, result.conformers[0].minimum.positions


KINDS: dict[str, Callable[[], Picture]] = {
    "chairs": lambda: chair_pair(treated(MOLECULE).chairs),
    "key": lambda: key_pair(treated(MOLECULE).chairs),
    "question": lambda: question_pair(treated(MOLECULE).chairs),
    "frames": blank_pair,
    "flat": lambda: flat_picture(treated(MOLECULE).molecule),
    "newman": lambda: newman(*best(), (1, 2)),
    "newman double": lambda: newman_double(*best(), ((1, 2), (5, 4))),
    "still": lambda: conformer_view(*best()),
    "levels": lambda: energy_levels(treated(MOLECULE), 298.15),
    "flip": lambda: flip_levels(levels_of(flipped("1 up CH3")[0], "MMFF94")),
    "ring shapes": lambda: ring_dial(treated(MOLECULE).conformers),
    "shares": lambda: population_bar(0.6, 0.3, 0.1, ("1e 2e", "1a 2a")),
}
