"""Results for notebooks and scripts: what `import chairgap` offers.

Public names are looked up lazily (`import chairgap` costs 0.02 s) and are never those of submodules, which
would hide them.
"""

from chairgap.notebook.asking import compare_chairs, run_study
from chairgap.notebook.drawing import Drawing
from chairgap.notebook.results import MoleculeResult, StudyResult

__all__ = ["Drawing", "MoleculeResult", "StudyResult", "compare_chairs", "run_study"]
