"""Settings that each make other parts than `pipeline_helpers.SETTINGS`: nothing kept may serve both."""

from dataclasses import replace

from chairgap.records import SearchSettings
from chairgap.tables.shipped import find_medium
from pipeline_helpers import SETTINGS

WATER = find_medium("water")
CHANGES: tuple[dict[str, object], ...] = (
    {"force_field": "MMFF94s"},
    {"engine": "rdkit"},
    {"quantum_method": "GFN2-xTB"},
    {"medium": WATER},
    {"medium_series": (WATER,)},
    {"search": SearchSettings(seed=2)},
    {"search": SearchSettings(effort="quick", most_starts=600)},
    {"search": replace(SETTINGS.search, window_kcal_mol=SETTINGS.search.window_kcal_mol + 0.5)},
)
