"""Results for notebooks and scripts: what `import chairgap` offers."""

from chairgap.notebook.asking import compare_chairs, run_study
from chairgap.notebook.drawing import Drawing
from chairgap.notebook.results import MoleculeResult, StudyResult

__all__ = ["Drawing", "MoleculeResult", "StudyResult", "compare_chairs", "run_study"]
