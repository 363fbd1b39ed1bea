"""Chair preferences of substituted cyclohexanes: hand estimate and force-field search, side by side.

For notebooks and scripts:

    from chairgap import compare_chairs, read_study, run_study

    trans = compare_chairs("1 up CH3, 2 down CH3")  # groups by ring carbon and face, or a SMILES
    trans                                           # in a notebook: drawing, gaps, ledger, reasons
    trans.to_frame()                                # the columns of gaps.csv
    run_study("my_set.toml").to_frame()

Every gap is E(chair B) - E(chair A) in kcal/mol; positive means that chair A is preferred. What is listed in
`__all__` is kept from version to version; everything else may change.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from chairgap.errors import ChairgapError, EngineError, InputError, MoleculeError, StudyError
    from chairgap.notebook import Drawing, MoleculeResult, StudyResult, compare_chairs, run_study
    from chairgap.records import Study
    from chairgap.study.reading import read_study

    __version__: str

__all__ = [
    "ChairgapError",
    "Drawing",
    "EngineError",
    "InputError",
    "MoleculeError",
    "MoleculeResult",
    "Study",
    "StudyError",
    "StudyResult",
    "__version__",
    "compare_chairs",
    "read_study",
    "run_study",
]

# Looked up when first asked for, so that `import chairgap` itself loads none of the chemistry.
_HOMES = {
    "ChairgapError": "errors",
    "Drawing": "notebook",
    "EngineError": "errors",
    "InputError": "errors",
    "MoleculeError": "errors",
    "MoleculeResult": "notebook",
    "Study": "records",
    "StudyError": "errors",
    "StudyResult": "notebook",
    "compare_chairs": "notebook",
    "read_study": "study.reading",
    "run_study": "notebook",
}


def __getattr__(name: str) -> Any:
    if name == "__version__":
        return import_module("importlib.metadata").version("chairgap")
    if name not in _HOMES:
        raise AttributeError(f"module 'chairgap' has no attribute '{name}'")
    return getattr(import_module(f"chairgap.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
