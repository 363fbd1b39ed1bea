"""Are the tables of two output folders the same? CSV files of 0.4.0 against those of today.

    python tests/regression/compare_tables.py OLD_FOLDER NEW_FOLDER

Headers and words that were renamed after 0.4.0 are renamed in the old tables first; then every cell must be
the same text, every row at the same place. Prints one line for each file and the cells that differ; exit code
1 when any does, or when a file is in one folder only. reports/CHANGELOG.md lists the renames.
"""

import csv
import re
import sys
from pathlib import Path

HEADERS = {
    "spoken": "groups_by_face",
    "copies_in_chair_A": "degeneracy_in_chair_A",
    "copies_in_chair_B": "degeneracy_in_chair_B",
    "copies_non_chair": "degeneracy_non_chair",
    "method": "force_field_or_quantum_method",
    "energy_carried_by_chair_low_kcal_mol_positive_unfavourable": (
        "energy_in_this_chair_low_kcal_mol_positive_unfavourable"
    ),
    "energy_carried_by_chair_kcal_mol_positive_unfavourable": (
        "energy_in_this_chair_kcal_mol_positive_unfavourable"
    ),
    "energy_carried_by_chair_high_kcal_mol_positive_unfavourable": (
        "energy_in_this_chair_high_kcal_mol_positive_unfavourable"
    ),
}
# By today's header: what is replaced in a cell, in this order.
WORDS = {
    "reason_codes": (
        (r"\bsingle-group-error\b", "model-error-of-single-groups"),
        (r"\bacross-the-ring\b", "1,4-pairs"),
        (r"\bmixing-or-symmetry\b", "degeneracy"),
        (r"\benthalpy-against-free-energy\b", "entropy-term"),
    ),
    "reason_evidence": ((r" has (\d+) copies, of chair B (\d+) \(", r" has degeneracy \1, of chair B \2 ("),),
    "message": ((r"^'?/\S*/", ""),),
    "preferred_in_words": ((r"^not a chair$", "non-chair"),),
}
MOST_SHOWN = 5


def main() -> int:
    old, new = map(Path, sys.argv[1:3])
    names = sorted({path.name for folder in (old, new) for path in folder.glob("*.csv")})
    found = {name: differences(old / name, new / name) for name in names}
    for name, lines in found.items():
        print(f"{name}: {f'{len(lines)} differences' if lines else 'the same'}")  # noqa: T201
        for line in lines[:MOST_SHOWN]:
            print(f"    {line}")  # noqa: T201
    if not names:
        print("There is no CSV file in these folders; name two output folders of a study.")  # noqa: T201
    return 1 if not names or any(found.values()) else 0


def differences(old: Path, new: Path) -> list[str]:
    """What is not the same in two tables, in words; the old one's headers and words are renamed first."""
    for path in (old, new):
        if not path.is_file():
            return [f"{path} is missing"]
    before, after = (list(csv.reader(path.open(encoding="utf-8", newline=""))) for path in (old, new))
    head = [HEADERS.get(name, name) for name in before[0]]
    if head != after[0]:
        apart = sorted(set(head) ^ set(after[0]))
        return [f"headers differ: {', '.join(apart) or 'another order'}"]
    if len(before) != len(after):
        return [f"{len(before) - 1} rows before, {len(after) - 1} now"]
    return [
        f"row {number}, {name}: {renamed(name, was)!r} before, {now!r} now"
        for number, (row, today) in enumerate(zip(before[1:], after[1:], strict=True), start=2)
        for name, was, now in zip(head, row, today, strict=True)
        if renamed(name, was) != renamed(name, now)
    ]


def renamed(header: str, cell: str) -> str:
    """A cell in today's words; a message without the folder that the run was in."""
    for pattern, word in WORDS.get(header, ()):
        cell = re.sub(pattern, word, cell)
    return cell


if __name__ == "__main__":
    sys.exit(main())
