"""The scorecard of energy models: text to records. The file is computed, not typed; see data/README.md."""

from chairgap.errors import InputError
from chairgap.records import ScorecardRow
from chairgap.tables.csv_text import Columns, Record, number, read_records, required_text

AXIAL_GAP = "gap_axial_minus_equatorial_kcal_mol_positive_favours_equatorial"
_HELP = {
    "model": "the energy model, for example MMFF94",
    "group": "the group's key in a_values.csv",
    "fragment": "the group as SMILES",
    "temperature_k": "the temperature in kelvin",
    f"potential_{AXIAL_GAP}": "the computed potential gap, empty when there is none",
    f"ensemble_{AXIAL_GAP}": "the computed ensemble gap, empty when there is none",
    f"gibbs_{AXIAL_GAP}": "the computed Gibbs gap, empty when there is none",
    "a_value_kcal_mol": "the tabulated A-value",
    "a_value_low_kcal_mol": "the lower end of its range",
    "a_value_high_kcal_mol": "the upper end of its range",
    "gibbs_minus_a_value_kcal_mol": "the error of the computed Gibbs gap",
    "sign": "right, wrong or empty",
    "note": "why there is no gap",
}
COLUMNS = Columns(required=tuple(_HELP), optional=(), help_by_name=_HELP)


def parse_scorecard(text: str, file: str) -> tuple[tuple[ScorecardRow, ...], list[InputError]]:
    """Rows in file order and everything wrong with the table; error and sign follow from the other cells."""
    records, problems = read_records(text, file, COLUMNS)
    rows = []
    for record in records:
        before = len(problems)
        row = _row(record, problems)
        if len(problems) == before:
            rows.append(row)
    return tuple(rows), problems


def _row(record: Record, problems: list[InputError]) -> ScorecardRow:
    def needed(field: str) -> float:
        found = number(record, field, _HELP[field], problems)
        if found is None and not record.text(field):
            problems.append(record.problem(field, f"The cell is empty; write {_HELP[field]}.", _HELP[field]))
        return 0.0 if found is None else found

    def gap(kind: str) -> float | None:
        field = f"{kind}_{AXIAL_GAP}"
        return number(record, field, _HELP[field], problems)

    return ScorecardRow(
        model=required_text(record, "model", COLUMNS, problems),
        group=required_text(record, "group", COLUMNS, problems),
        fragment=required_text(record, "fragment", COLUMNS, problems),
        temperature_k=needed("temperature_k"),
        potential_kcal_mol=gap("potential"),
        ensemble_kcal_mol=gap("ensemble"),
        gibbs_kcal_mol=gap("gibbs"),
        a_value_kcal_mol=needed("a_value_kcal_mol"),
        a_value_low_kcal_mol=needed("a_value_low_kcal_mol"),
        a_value_high_kcal_mol=needed("a_value_high_kcal_mol"),
        note=record.text("note"),
    )


def mean_absolute_error_kcal_mol(rows: tuple[ScorecardRow, ...], model: str) -> float | None:
    """Mean |Gibbs gap - A-value| over the groups that a model has a gap for; None without any."""
    errors = [
        abs(row.error_kcal_mol) for row in rows if row.model == model and row.error_kcal_mol is not None
    ]
    return sum(errors) / len(errors) if errors else None
