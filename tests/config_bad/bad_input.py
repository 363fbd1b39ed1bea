"""What chairgap tells a user about a bad study: the text that the files beside the cases hold.

After a wanted change of words run `python tests/config_bad/bad_input.py` and read the difference before it
is kept: it writes every expected text anew.
"""

import os
from pathlib import Path

from chairgap.errors import ChairgapError, MoleculeError, StudyError
from chairgap.molecule.build import build_molecules
from chairgap.study.reading import read_study
from chairgap.tables.shipped import read_estimate_table

CASES = Path(__file__).parent / "cases"


def told(path: Path) -> str:
    """The error that stops a study, or the molecules refused on reading and on building, and those kept.

    No exception but ChairgapError is caught.
    """
    try:
        study = read_study(path)
    except ChairgapError as error:
        kind = "StudyError" if isinstance(error, StudyError) else type(error).__name__
        return f"{kind}, exit code {error.exit_code}\n{error}\n"
    refused = [f"refused '{refusal.name}': {refusal.place}: {refusal.message}" for refusal in study.refused]
    kept = []
    table = read_estimate_table(study.settings.a_value_table)
    for request in study.requests:
        try:
            numbering = study.settings.numbering
            kept += build_molecules(request, table, force_field="MMFF94", atom_limit=100, numbering=numbering)
        except MoleculeError as error:
            refused.append(f"not built '{request.name}': {error}")
    return "\n".join([*refused, *(f"kept '{molecule.name}'" for molecule in kept)]) + "\n"


if __name__ == "__main__":
    os.chdir(CASES)
    for case in sorted(Path().glob("*.toml")):
        case.with_suffix(".txt").write_text(told(case), encoding="utf-8")
