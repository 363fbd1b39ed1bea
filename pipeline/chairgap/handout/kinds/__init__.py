"""The kinds of questions, by the names that --kinds takes.

Every answer is computed by the rooms that answer keys and studies go by (labels, ledger, configuration,
projections); the texts here only say it. Decided: a molecule stands in one question of a sheet, since what
one question shows may be what another asks; so a small study serves few kinds at once, and the key says which
were left out. Molecules whose answer is in doubt keep their warning, but are not taken where a question has
no place for one (a ranking, the larger preference, a solution with a mistake). Rejected: questions from
molecules that the study does not have, which nobody has looked at.
"""

from chairgap.handout.kinds.configuration import configuration, lacks_pair
from chairgap.handout.kinds.drawn import flip_product, newman_projection
from chairgap.handout.kinds.energies import gap_and_k, percent, stable_chair
from chairgap.handout.kinds.four_part import both_chairs, four_part
from chairgap.handout.kinds.isomers import lacks_larger, lacks_order, lacks_terms, larger_preference, ranking
from chairgap.handout.kinds.kind import FRAMES, TABLE, TEMPERATURE, Kind
from chairgap.handout.kinds.mistake import find_the_mistake, lacks_mistake
from chairgap.handout.pitfalls import PITFALLS

_OF_LABELS = frozenset(("one-three", "geminal"))
_OF_SUMS = frozenset(PITFALLS) - {"one-three", "locked"}

FOUR_PART = Kind(
    name="four-part",
    title="Both chairs, labels, dG, preferred chair, K and percent",
    write=four_part,
    uses=frozenset((FRAMES, TABLE, TEMPERATURE)),
    hard_by=_OF_SUMS | _OF_LABELS,
    whole_page=True,
    doubted="(d)",
)
KINDS = {
    kind.name: kind
    for kind in (
        FOUR_PART,
        Kind(
            name="both-chairs",
            title="Draw both chairs",
            write=both_chairs,
            uses=frozenset((FRAMES,)),
            hard_by=_OF_LABELS,
            whole_page=True,
        ),
        Kind(
            name="stable-chair",
            title="The more stable chair",
            write=stable_chair,
            uses=frozenset((FRAMES, TABLE)),
            hard_by=_OF_SUMS,
            doubted="(b)",
        ),
        Kind(
            name="gap",
            title="dG and K",
            write=gap_and_k,
            uses=frozenset((TABLE, TEMPERATURE)),
            hard_by=_OF_SUMS,
        ),
        Kind(
            name="percent",
            title="Percent of a chair",
            write=percent,
            uses=frozenset((TEMPERATURE,)),
            hard_by=frozenset(("competing",)),
        ),
        Kind(
            name="ranking",
            title="Ranking of three isomers",
            write=ranking,
            uses=frozenset((TABLE,)),
            hard_by=_OF_SUMS,
            molecules=3,
            lacks=lacks_terms,
            lacks_together=lacks_order,
            names_shown=False,
        ),
        Kind(
            name="mistake",
            title="Find the mistake",
            write=find_the_mistake,
            uses=frozenset((TABLE, TEMPERATURE)),
            hard_by=_OF_SUMS,
            lacks=lacks_mistake,
            whole_page=True,
        ),
        Kind(
            name="newman",
            title="Newman projection",
            write=newman_projection,
            uses=frozenset(),
            hard_by=_OF_LABELS,
        ),
        Kind(
            name="flip",
            title="Product of a ring flip",
            write=flip_product,
            uses=frozenset(),
            hard_by=_OF_LABELS,
        ),
        Kind(
            name="configuration",
            title="Cis or trans, R or S",
            write=configuration,
            uses=frozenset(),
            hard_by=_OF_LABELS,
            lacks=lacks_pair,
            names_shown=False,
        ),
        Kind(
            name="preference",
            title="Which isomer has the larger preference",
            write=larger_preference,
            uses=frozenset((TABLE,)),
            hard_by=_OF_SUMS,
            molecules=2,
            lacks=lacks_terms,
            lacks_together=lacks_larger,
            names_shown=False,
        ),
    )
}
