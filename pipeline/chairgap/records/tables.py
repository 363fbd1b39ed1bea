"""Everything that a run reads from table files."""

from collections.abc import Mapping
from dataclasses import dataclass

from chairgap.records.anchored import PairInteraction, PairSpread
from chairgap.records.equilibria import Equilibrium
from chairgap.records.estimate import EstimateTable, Source
from chairgap.records.scorecard import ScorecardRow


@dataclass(frozen=True, kw_only=True)
class Tables:
    """The A-value table of a study, the literature sources by key, the scorecard of energy models, pair
    interactions by a quantum method, how far pairs are off, published equilibria, and the A-value table with
    the rows nearest to each medium of the study's series, by its name;
    checksums: SHA-256 (hexadecimal) of the bytes of every table file that was read for them and for the media
    of the study, by the name of the file."""

    estimate: EstimateTable
    sources: Mapping[str, Source]
    scorecard: tuple[ScorecardRow, ...]
    pairs: tuple[PairInteraction, ...]
    spreads: tuple[PairSpread, ...]
    equilibria: tuple[Equilibrium, ...]
    in_media: Mapping[str, EstimateTable]
    checksums: Mapping[str, str]
