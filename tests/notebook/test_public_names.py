"""What `import chairgap` offers, name by name: a change here is a change for everybody's notebooks."""

import inspect
import pkgutil
import subprocess
import sys
from importlib.metadata import version

import pytest

import chairgap
from chairgap.notebook.asking import StudySettings

SETTINGS = [
    *("temperature_k", "temperature_series_k", "medium", "medium_series", "force_field", "engine"),
    *(
        "quantum_method",
        "pairs_by",
        "table",
        "pairs",
        "undecided_below_kcal_mol",
        "size_tolerance_kcal_mol",
        "effort",
        "most_starts",
    ),
    *("window_kcal_mol", "seed", "atom_limit"),
]
_KEYWORDS = " ".join(f"{key}=None" for key in SETTINGS)
_FLIP = (
    "(molecule *, only='' temperature_k=None step_deg=15.0 dynamics=0 free_energy=0 "
    "dynamics_temperature_k=1000.0 seed=1 output=None)"
)
FUNCTIONS = {
    "check_key": "(file *, compute=False output=None)",
    "compare_chairs": f"(molecules *, name='' stereo='' {_KEYWORDS} **unknown)",
    "compute_flip": _FLIP,
    "export_questions": "(key *, output)",
    "make_handout": (
        "(study *, output=None versions=2 questions=None seed=1 large_print=False paper='A4' pdf=True "
        "equal=False kinds=() level='' workers=0)"
    ),
    "make_key": "(molecules file)",
    "mark_students": "(key folder *, output=None)",
    "parse_name": "(text)",
    "read_study": "(path)",
    "run_study": "(study *, output=None workers=0)",
}
CLASSES = {
    "Drawing": "alt data_uri save(path) svg",
    "ExportedQuestions": "left_out paths",
    "FlipResult": "draw() dynamics map name note path rates save(folder) stationary theta_profile",
    "FlipStudyResult": "failed refused",
    "HandoutFiles": "failed paths refused remarks study_paths",
    "KeyCheck": "counts notes paths problems solutions to_frame()",
    "MoleculeResult": (
        "anchored anchored_parts chairs comparison completed conformers draw(what='chairs') estimate gaps "
        "groups headline ledger name naming published reasons settings smiles split systematic_name "
        "temperatures to_frame()"
    ),
    "ParsedName": "groups name notes numbered_smiles numbering open_sites relative smiles",
    "StudentMarks": "claims paths per_claim problems summary",
    "StudyResult": (
        "anchored_parts conformers failed ledger names notes published refused settings split temperatures "
        "to_frame()"
    ),
}
ERRORS = {"ChairgapError", "EngineError", "InputError", "MoleculeError", "StudyError"}


def signature(function: object) -> str:
    """'(path *, output=None)': names, defaults and kinds, without types."""
    told, bar = [], False
    for name, given in inspect.signature(function).parameters.items():
        if name == "self":
            continue
        if given.kind is given.KEYWORD_ONLY and not bar:
            told.append("*,")
            bar = True
        default = "" if given.default is given.empty else f"={given.default!r}"
        told.append(("**" if given.kind is given.VAR_KEYWORD else "") + name + default)
    return f"({' '.join(told)})"


def members(kind: type) -> str:
    """Public attributes in alphabetical order, methods with their signatures."""
    names = {name for name in (*dir(kind), *kind.__annotations__) if not name.startswith("_")}
    told = []
    for name in sorted(names):
        found = inspect.getattr_static(kind, name, None)
        told.append(name + (signature(found) if inspect.isfunction(found) else ""))
    return " ".join(told)


def test_names() -> None:
    assert set(chairgap.__all__) == {*FUNCTIONS, *CLASSES, *ERRORS, "Study", "__version__"}
    assert chairgap.__all__ == sorted(chairgap.__all__)
    assert set(chairgap.__all__) <= set(dir(chairgap))
    assert chairgap.__version__ == version("chairgap")
    with pytest.raises(AttributeError, match="has no attribute 'compare_chair'"):
        _ = chairgap.compare_chair


@pytest.mark.parametrize("name", FUNCTIONS)
def test_functions(name: str) -> None:
    assert signature(getattr(chairgap, name)) == FUNCTIONS[name]
    assert inspect.getdoc(getattr(chairgap, name))


@pytest.mark.parametrize("name", CLASSES)
def test_classes(name: str) -> None:
    assert members(getattr(chairgap, name)) == CLASSES[name]


def test_settings_are_those_of_the_type_checker() -> None:
    assert list(StudySettings.__annotations__) == SETTINGS


def test_errors_have_one_root() -> None:
    assert all(issubclass(getattr(chairgap, name), chairgap.ChairgapError) for name in ERRORS)


def test_no_public_name_is_that_of_a_module() -> None:
    """A submodule, once imported, would hide it."""
    modules = {found.name for found in pkgutil.iter_modules(chairgap.__path__)}
    assert not modules & set(chairgap.__all__)


def test_import_itself_loads_no_chemistry() -> None:
    code = (
        "import sys, chairgap\n"
        "heavy = {'rdkit', 'openmm', 'numpy', 'pandas', 'pydantic', 'scipy', 'matplotlib'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
        "from chairgap import compare_chairs\n"
        "import chairgap.compare, chairgap.run\n"
        "print(callable(compare_chairs), callable(chairgap.run_study))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["[]", "True True"]
