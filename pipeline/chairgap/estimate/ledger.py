"""The hand estimate: what a chemist adds up on paper for the two chairs of a substituted cyclohexane.

Each chair carries

* the A-value of every axial group;
* a syn-diaxial term for two axial groups on the same face at carbons 1 and 3 (as 'replacing' or 'excess', see
  `chairgap.tables.interactions`);
* a gauche term for every pair of groups on neighbouring carbons that stand at 60 degrees: all but the two
  axial ones, which are anti (Beckett, Pitzer & Spitzer, J. Am. Chem. Soc. 1947, 69, 2488);
* a geminal term, never with a value, where two groups share a carbon: additivity is not established there
  (1-methyl-1-phenylcyclohexane prefers axial phenyl; Eliel & Manoharan, J. Org. Chem. 1981, 46, 1959).

Where the table has several rows for a group or a pair, `chairgap.estimate.nearest` has chosen one before.

The gap is G(B) - G(A), formed from the net coefficient of every table row, so what both chairs share cancels
exactly, value and range; a value that is not in the table is missing only where it does not cancel. The sums
are exact decimal fractions of the table's numbers. Buttressing, dipoles, hydrogen bonds and twist-boats are
outside these rules.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations
from pathlib import PurePath
from typing import Literal

from chairgap.estimate.groups import find_row
from chairgap.records import (
    GAS_PHASE,
    AValueRow,
    Chair,
    ChairLetter,
    Estimate,
    EstimateTable,
    Face,
    InteractionRow,
    LedgerTerm,
    PlacedLigand,
)

TermKind = Literal["A-value", "syn-diaxial", "vicinal gauche", "geminal"]
Symbol = tuple[TermKind, str, str]
Row = AValueRow | InteractionRow
HALF = Fraction(1, 2)


@dataclass(frozen=True, kw_only=True)
class _Draft:
    """A term as a linear form over table rows, before its numbers are put in."""

    chair: ChairLetter
    kind: TermKind
    ligands: tuple[PlacedLigand, ...]
    form: Mapping[Symbol, Fraction]
    row: Row | None
    words: str


def estimate_gap(
    chairs: tuple[Chair, Chair],
    table: EstimateTable,
    *,
    without: Collection[frozenset[tuple[int, Face]]] = (),
) -> Estimate:
    """The estimate of G(chair B) - G(chair A) in kcal/mol with its ledger.

    low and high are the extremes over the tabulated ranges. Terms without a published value are left out of
    the three energies and named in `missing`; the energies are None when nothing known remains. Pairs of
    groups in `without`, each two (carbon, face), have no terms.
    """
    drafts: list[_Draft] = []
    rows: dict[Symbol, Row] = {}
    for chair in chairs:
        drafts += _a_value_terms(chair, table, rows)
        drafts += _pair_terms(chair, table, rows, without)
    net, missing = _net(drafts, rows)
    nothing_known = bool(missing) and not net
    value, low, high = (None, None, None) if nothing_known else _energies(net, rows)
    return Estimate(
        terms=tuple(_finished(draft, rows, missing) for draft in drafts),
        gap_kcal_mol=value,
        low_kcal_mol=low,
        high_kcal_mol=high,
        missing=tuple(dict.fromkeys(_groups_by_face(symbol) for symbol in sorted(missing))),
        flags=("geminal",) if any(draft.kind == "geminal" for draft in drafts) else (),
    )


def zero_by_symmetry(estimate: Estimate) -> Estimate:
    """The estimate of a molecule whose chairs symmetry makes equal: exactly 0, whatever the table lacks.

    Mirror-image groups, for instance, have one A-value between them, also where nobody has measured it.
    """
    return replace(estimate, gap_kcal_mol=0.0, low_kcal_mol=0.0, high_kcal_mol=0.0, missing=())


# --- the terms of one chair ------------------------------------------------------------------------------


def _a_value_terms(chair: Chair, table: EstimateTable, rows: dict[Symbol, Row]) -> Iterable[_Draft]:
    for ligand in chair.groups:
        if ligand.position != "axial":
            continue
        symbol = _a_symbol(ligand, table, rows)
        row = rows.get(symbol)
        known = (
            f"A-value of {symbol[1]} {_value_words(row, table)}"
            if row
            else f"no A-value of it in the table '{_file_name(table)}'"
        )
        yield _Draft(
            chair=chair.letter,
            kind="A-value",
            ligands=(ligand,),
            form={symbol: Fraction(1)},
            row=row,
            words=f"{ligand.group} axial on C{ligand.carbon}: {known}",
        )


def _pair_terms(
    chair: Chair,
    table: EstimateTable,
    rows: dict[Symbol, Row],
    without: Collection[frozenset[tuple[int, Face]]],
) -> Iterable[_Draft]:
    for one, other in combinations(chair.groups, 2):
        if frozenset(((one.carbon, one.face), (other.carbon, other.face))) in without:
            continue
        apart = abs(one.carbon - other.carbon)
        axial = sum(ligand.position == "axial" for ligand in (one, other))
        if apart == 0:
            yield _geminal(chair, one, other)
        elif apart in (2, 4) and axial == 2 and one.face == other.face:
            yield _syn_diaxial(chair, one, other, table, rows)
        elif apart in (1, 5) and axial < 2:
            yield _gauche(chair, one, other, table, rows)


def _geminal(chair: Chair, one: PlacedLigand, other: PlacedLigand) -> _Draft:
    axial, equatorial = (one, other) if one.position == "axial" else (other, one)
    return _Draft(
        chair=chair.letter,
        kind="geminal",
        ligands=(axial, equatorial),
        form={("geminal", axial.group, equatorial.group): Fraction(1)},
        row=None,
        words=(
            f"{axial.group} axial and {equatorial.group} equatorial share C{one.carbon}: "
            "additivity is not established for two groups on one carbon"
        ),
    )


def _syn_diaxial(
    chair: Chair, one: PlacedLigand, other: PlacedLigand, table: EstimateTable, rows: dict[Symbol, Row]
) -> _Draft:
    a_one, a_other = _a_symbol(one, table, rows), _a_symbol(other, table, rows)
    symbol = _pair_symbol("syn-diaxial", a_one, a_other, table, rows)
    form = {symbol: Fraction(1)}
    row = rows.get(symbol)
    pair = f"{one.group} on C{one.carbon} and {other.group} on C{other.carbon} both axial {one.face}"
    if not isinstance(row, InteractionRow):
        words = f"{pair}: no syn-diaxial energy of this pair in the table '{_file_name(table)}'"
    elif row.form == "excess":
        words = f"{pair}: {_value_words(row, table)} on top of the two A-values"
    else:
        for contact in (a_one, a_other):
            form[contact] = form.get(contact, Fraction(0)) - HALF
        words = f"{pair}: {_replacing(row, rows, (a_one, a_other), table)}"
    return _Draft(
        chair=chair.letter, kind="syn-diaxial", ligands=(one, other), form=form, row=row, words=words
    )


def _replacing(
    row: InteractionRow, rows: dict[Symbol, Row], contacts: tuple[Symbol, Symbol], table: EstimateTable
) -> str:
    names = f"one {contacts[0][1]}/H and one {contacts[1][1]}/H contact"
    whole = f"{_value_words(row, table)} takes the place of {names}"
    unknown = [symbol[1] for symbol in contacts if symbol not in rows]
    if unknown:
        return f"{whole}, but the A-value of {unknown[0]} is not in the table"
    halves = [_exact(rows[symbol].value_kcal_mol) * HALF for symbol in contacts]
    excess = _exact(row.value_kcal_mol) - sum(halves)
    sum_text = " - ".join(energy_words(float(part)) for part in (_exact(row.value_kcal_mol), *halves))
    return f"{whole} (half an A-value each): {sum_text} = {energy_words(float(excess))}"


def _gauche(
    chair: Chair, one: PlacedLigand, other: PlacedLigand, table: EstimateTable, rows: dict[Symbol, Row]
) -> _Draft:
    a_one, a_other = _a_symbol(one, table, rows), _a_symbol(other, table, rows)
    symbol = _pair_symbol("vicinal gauche", a_one, a_other, table, rows)
    row = rows.get(symbol)
    known = (
        f"gauche, {_value_words(row, table)}"
        if row
        else f"gauche, no energy of this pair in the table '{_file_name(table)}'"
    )
    return _Draft(
        chair=chair.letter,
        kind="vicinal gauche",
        ligands=(one, other),
        form={symbol: Fraction(1)},
        row=row,
        words=(
            f"{one.group} {one.position} on C{one.carbon} and {other.group} {other.position} on "
            f"C{other.carbon}: {known}"
        ),
    )


def _a_symbol(ligand: PlacedLigand, table: EstimateTable, rows: dict[Symbol, Row]) -> Symbol:
    row = find_row(table, ligand.group)
    symbol: Symbol = ("A-value", row.group if row else ligand.group, "")
    if row:
        rows[symbol] = row
    return symbol


def _pair_symbol(
    kind: Literal["syn-diaxial", "vicinal gauche"],
    one: Symbol,
    other: Symbol,
    table: EstimateTable,
    rows: dict[Symbol, Row],
) -> Symbol:
    first, second = sorted((one[1], other[1]))
    symbol: Symbol = (kind, first, second)
    for row in table.interactions:
        if row.kind == kind and sorted((row.group_1, row.group_2)) == [first, second]:
            rows[symbol] = row
    return symbol


# --- adding up -------------------------------------------------------------------------------------------


def _net(drafts: list[_Draft], rows: Mapping[Symbol, Row]) -> tuple[dict[Symbol, Fraction], set[Symbol]]:
    """Net coefficient, B minus A, of every row that does not cancel, and the symbols without a row.

    A term that needs a symbol without a row is left out whole; what it would have cancelled then counts, so
    this is repeated until nothing changes.
    """
    missing: set[Symbol] = set()
    while True:
        net: dict[Symbol, Fraction] = {}
        for draft in drafts:
            if draft.form.keys() & missing:
                continue
            sign = 1 if draft.chair == "B" else -1
            for symbol, coefficient in draft.form.items():
                net[symbol] = net.get(symbol, Fraction(0)) + sign * coefficient
        net = {symbol: coefficient for symbol, coefficient in net.items() if coefficient}
        found = {symbol for symbol in net if symbol not in rows}
        if not found:
            return net, missing
        missing |= found


def _energies(form: Mapping[Symbol, Fraction], rows: Mapping[Symbol, Row]) -> tuple[float, float, float]:
    """(value, low, high) of a linear form over rows, every row free within its own range."""
    value = low = high = Fraction(0)
    for symbol, coefficient in form.items():
        row = rows[symbol]
        ends = sorted(coefficient * _exact(end) for end in (row.low_kcal_mol, row.high_kcal_mol))
        value += coefficient * _exact(row.value_kcal_mol)
        low += ends[0]
        high += ends[1]
    return float(value), float(low), float(high)


def _finished(draft: _Draft, rows: Mapping[Symbol, Row], missing: set[Symbol]) -> LedgerTerm:
    unknown = {symbol for symbol in draft.form if symbol not in rows}
    value, low, high = (None, None, None) if unknown else _energies(draft.form, rows)
    words = draft.words
    if unknown:
        cancels = not draft.form.keys() & missing
        words += "; the same in both chairs, it cancels" if cancels else "; left out of the estimate"
    return LedgerTerm(
        chair=draft.chair,
        kind=draft.kind,
        carbons=tuple(dict.fromkeys(ligand.carbon for ligand in draft.ligands)),
        faces=tuple(ligand.face for ligand in draft.ligands),
        groups=tuple(ligand.group for ligand in draft.ligands),
        value_kcal_mol=value,
        low_kcal_mol=low,
        high_kcal_mol=high,
        source=draft.row.source if draft.row else "",
        medium=draft.row.medium if draft.row else "",
        words=words,
    )


def _groups_by_face(symbol: Symbol) -> str:
    kind, first, second = symbol
    if kind == "A-value":
        return f"A-value of {first}"
    if kind == "geminal":
        first, second = sorted((first, second))
    return f"{kind} {first}/{second}"


def _file_name(table: EstimateTable) -> str:
    """The table's name without a folder, so that the words do not depend on where a user's file lies."""
    return PurePath(table.name).name


def _exact(energy_kcal_mol: float) -> Fraction:
    """The decimal number as the table prints it, as an exact fraction."""
    return Fraction(repr(energy_kcal_mol))


def phase_words(medium: str) -> str:
    """'in water', 'in the gas phase'; '' where the table states no medium."""
    return "in the gas phase" if medium == GAS_PHASE.name else f"in {medium}" if medium else ""


def _value_words(row: Row, table: EstimateTable) -> str:
    """'0.70 (in tetrachloromethane)'; where the row is one of several also its temperature, or that no medium
    is stated."""
    phase = phase_words(row.medium)
    parts = [phase]
    if row in table.chosen:
        parts = [phase or "medium not stated", f"{row.temperature_k:g} K" if row.temperature_k else ""]
    said = ", ".join(filter(None, parts))
    return energy_words(row.value_kcal_mol) + (f" ({said})" if said else "")


def energy_words(energy_kcal_mol: float) -> str:
    """At least two decimals, more where the number has them; no sign on zero."""
    text = f"{round(energy_kcal_mol, 4) + 0.0:.4f}".rstrip("0")
    whole, _, decimals = text.partition(".")
    return f"{whole}.{decimals.ljust(2, '0')}"
