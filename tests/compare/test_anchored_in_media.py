"""The anchored gap in each medium of a series is that of a study in this medium."""

from dataclasses import replace

import pytest

from chairgap.records import GAS_PHASE
from chairgap.run import treat
from chairgap.tables.shipped import find_medium
from pipeline_helpers import READER, SETTINGS, molecule, treated_with

SERIES = (GAS_PHASE, find_medium("tetrachloromethane"), find_medium("water"))
MOLECULES = ("1 up OH", "1 up OH, 2 down F", "1 up F, 2 down F, 4 up OH")


@pytest.mark.parametrize(
    "groups_by_face", [*MOLECULES[:2], pytest.param(MOLECULES[2], marks=pytest.mark.long)]
)
def test_a_point_of_the_series_is_the_study_in_that_medium(groups_by_face: str) -> None:
    built = molecule(groups_by_face)
    series = treated_with(built, replace(SETTINGS, medium_series=SERIES))
    for medium, there in zip(SERIES, series.anchored_in_media, strict=True):
        tables = READER.tables("chairgap", medium.name, SETTINGS.temperature_k)
        alone = treat(built, tables, replace(SETTINGS, medium=medium), {}).anchored
        assert there.gap_kcal_mol == pytest.approx(alone.gap_kcal_mol, abs=1e-6), medium.name
        assert there.uncertainty_kcal_mol == pytest.approx(alone.uncertainty_kcal_mol, abs=1e-6)
        assert [part.origin for part in there.parts] == [part.origin for part in alone.parts]


def test_a_single_group_has_its_value_measured_nearest_to_each_medium() -> None:
    """OH by class of medium: 0.9 in protic solvents, less in CCl4, whatever the model says."""
    series = treated_with(molecule("1 up OH"), replace(SETTINGS, medium_series=SERIES))
    in_ccl4, in_water = (gap.gap_kcal_mol for gap in series.anchored_in_media[1:])
    rows = {
        row.medium: row.value_kcal_mol for row in READER.whole_table("chairgap").a_values if row.group == "OH"
    }
    assert in_ccl4 == rows["tetrachloromethane"]
    assert in_water in rows.values() and in_water is not None and in_ccl4 is not None and in_water > in_ccl4
