"""Chair preferences of substituted cyclohexanes: hand estimate and force-field search, side by side.

For notebooks and scripts:

    from chairgap import check_key, compare_chairs, compute_flip, make_handout, run_study

    trans = compare_chairs("1 up CH3, 2 down CH3")  # groups by ring carbon and face, a name or a SMILES
    trans                                           # in a notebook: drawing, gaps, ledger, reasons
    trans.to_frame()                                # the columns of gaps.csv
    run_study("my_set.toml").to_frame()
    check_key("key.xlsx").to_frame()                # also mark_students, export_questions, make_key
    parse_name("cis-4-methylcyclohexanol").smiles   # also what it leaves open, and its numbering
    compute_flip("1 up CH3").rates                  # the ring flip
    make_handout("my_set.toml", output="sheets")    # question sheets and their keys

They do what the commands of `chairgap` do, print nothing and handle no signals.

Every gap is G(chair B) - G(chair A) in kcal/mol; positive means that chair A is preferred. What is listed in
`__all__` is kept from version to version; everything else may change.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from chairgap.errors import ChairgapError, EngineError, InputError, MoleculeError, StudyError
    from chairgap.naming.reading import ParsedName, parse_name
    from chairgap.notebook.asking import compare_chairs, run_study
    from chairgap.notebook.drawing import Drawing
    from chairgap.notebook.flips import FlipResult, FlipStudyResult, compute_flip
    from chairgap.notebook.handouts import HandoutFiles, make_handout
    from chairgap.notebook.keys import (
        ExportedQuestions,
        KeyCheck,
        StudentMarks,
        check_key,
        export_questions,
        make_key,
        mark_students,
    )
    from chairgap.notebook.results import MoleculeResult, StudyResult
    from chairgap.records import Study
    from chairgap.study.reading import read_study

    __version__: str

__all__ = [
    "ChairgapError",
    "Drawing",
    "EngineError",
    "ExportedQuestions",
    "FlipResult",
    "FlipStudyResult",
    "HandoutFiles",
    "InputError",
    "KeyCheck",
    "MoleculeError",
    "MoleculeResult",
    "ParsedName",
    "StudentMarks",
    "Study",
    "StudyError",
    "StudyResult",
    "__version__",
    "check_key",
    "compare_chairs",
    "compute_flip",
    "export_questions",
    "make_handout",
    "make_key",
    "mark_students",
    "parse_name",
    "read_study",
    "run_study",
]

# Looked up when first asked for, so that `import chairgap` itself loads none of the chemistry.
_NAMES = {
    "errors": ("ChairgapError", "EngineError", "InputError", "MoleculeError", "StudyError"),
    "naming.reading": ("ParsedName", "parse_name"),
    "notebook.asking": ("compare_chairs", "run_study"),
    "notebook.drawing": ("Drawing",),
    "notebook.flips": ("FlipResult", "FlipStudyResult", "compute_flip"),
    "notebook.handouts": ("HandoutFiles", "make_handout"),
    "notebook.keys": (
        *("ExportedQuestions", "KeyCheck", "StudentMarks"),
        *("check_key", "export_questions", "make_key", "mark_students"),
    ),
    "notebook.results": ("MoleculeResult", "StudyResult"),
    "records": ("Study",),
    "study.reading": ("read_study",),
}
_HOMES = {name: home for home, names in _NAMES.items() for name in names}


def __getattr__(name: str) -> Any:
    if name == "__version__":
        return import_module("importlib.metadata").version("chairgap")
    if name not in _HOMES:
        raise AttributeError(f"module 'chairgap' has no attribute '{name}'")
    return getattr(import_module(f"chairgap.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
