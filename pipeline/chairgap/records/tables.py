"""Everything that a run reads from table files."""

from collections.abc import Mapping
from dataclasses import dataclass

from chairgap.records.estimate import EstimateTable, Source
from chairgap.records.scorecard import ScorecardRow


@dataclass(frozen=True, kw_only=True)
class Tables:
    """The A-value table of a study, the literature sources by key, and the scorecard of energy models;
    checksums: SHA-256 (hexadecimal) of the bytes of every table file that was read for them and for the media
    of the study, by the name of the file."""

    estimate: EstimateTable
    sources: Mapping[str, Source]
    scorecard: tuple[ScorecardRow, ...]
    checksums: Mapping[str, str]
