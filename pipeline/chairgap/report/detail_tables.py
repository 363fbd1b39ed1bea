"""conformers.csv, ledger.csv, positions.csv and contacts.csv: the details behind gaps.csv."""

from collections.abc import Iterator
from dataclasses import dataclass

from chairgap.compare.split import signed_share
from chairgap.records import (
    Chair,
    Conformer,
    Contact,
    Face,
    LedgerTerm,
    Outcome,
    PairTerm,
    Result,
    RingCarbon,
    Settings,
)
from chairgap.report.columns import Column, Table, gap, number, text, whole, yes_or_no
from chairgap.report.completed import counts_in, origin_words, pair_words
from chairgap.report.digest import by_energy, carbon_by_locant, fractions, lowest_in_chair
from chairgap.report.words import groups_held, joined_numbers
from chairgap.shape.chairs import position_in_chair


@dataclass(frozen=True, kw_only=True)
class _ConformerRow:
    """A conformer, with the lowest energies and the fraction of its molecule."""

    result: Result
    settings: Settings
    conformer: Conformer
    lowest_potential_kcal_mol: float
    lowest_gibbs_kcal_mol: float
    fraction: float

    @property
    def groups(self) -> str:
        return groups_held({chair.letter: chair.name for chair in self.result.chairs}, self.conformer)

    @property
    def lowest_frequency_cm1(self) -> float | None:
        frequencies = self.conformer.minimum.frequencies_cm1
        return float(frequencies.min()) if frequencies.size else None


def _conformer_rows(outcome: Outcome) -> Iterator[_ConformerRow]:
    """By rising potential energy within each molecule."""
    settings = outcome.study.settings
    for result in outcome.results:
        shares = fractions(result.conformers, settings.temperature_k)
        potential = min((c.minimum.energy_kcal_mol for c in result.conformers), default=0.0)
        gibbs = min((c.gibbs_kcal_mol for c in result.conformers), default=0.0)
        for conformer in by_energy(result.conformers):
            yield _ConformerRow(
                result=result,
                settings=settings,
                conformer=conformer,
                lowest_potential_kcal_mol=potential,
                lowest_gibbs_kcal_mol=gibbs,
                fraction=shares[conformer.number],
            )


def _ligand_positions(conformer: Conformer) -> str:
    return "; ".join(
        f"{ligand.carbon} {ligand.face} {ligand.group} {ligand.position}"
        for ligand in conformer.ligands
        if ligand.group != "H"
    )


CONFORMERS: Table[Outcome, _ConformerRow] = Table(
    rows=_conformer_rows,
    columns=(
        text("name", lambda row: row.result.molecule.name),
        whole("conformer", lambda row: row.conformer.number),
        text("chair", lambda row: row.conformer.chairs_held or None),
        text("chair_groups", lambda row: row.groups or None),
        text("model", lambda row: row.settings.model),
        number("temperature", "k", lambda row: row.settings.temperature_k),
        number("potential_energy", "kcal_mol", lambda row: row.conformer.minimum.energy_kcal_mol),
        number(
            "potential_energy_above_lowest",
            "kcal_mol",
            lambda row: row.conformer.minimum.energy_kcal_mol - row.lowest_potential_kcal_mol,
            sign="positive_less_stable",
        ),
        number("gibbs_energy", "kcal_mol", lambda row: row.conformer.gibbs_kcal_mol),
        number(
            "gibbs_energy_above_lowest",
            "kcal_mol",
            lambda row: row.conformer.gibbs_kcal_mol - row.lowest_gibbs_kcal_mol,
            sign="positive_less_stable",
        ),
        number("harmonic_gibbs_energy", "kcal_mol", lambda row: row.conformer.harmonic_gibbs_kcal_mol),
        number("enthalpy", "kcal_mol", lambda row: row.conformer.enthalpy_kcal_mol),
        number("population", "percent", lambda row: 100.0 * row.fraction),
        whole("degeneracy_in_chair_A", lambda row: row.conformer.degeneracy_a),
        whole("degeneracy_in_chair_B", lambda row: row.conformer.degeneracy_b),
        whole("degeneracy_non_chair", lambda row: row.conformer.degeneracy_other),
        whole("rotational_symmetry_number", lambda row: row.conformer.rotational_symmetry),
        whole("mirror_images", lambda row: row.conformer.mirror_images),
        number("dipole", "debye", lambda row: row.conformer.dipole_debye),
        text("ring_form", lambda row: row.conformer.shape.form),
        text("ring_family", lambda row: row.conformer.shape.family),
        number("angle_to_form", "deg", lambda row: row.conformer.shape.distance_deg),
        number("cremer_pople_q", "angstrom", lambda row: row.conformer.shape.q_angstrom),
        number("cremer_pople_theta", "deg", lambda row: row.conformer.shape.theta_deg),
        number("cremer_pople_phi", "deg", lambda row: row.conformer.shape.phi_deg),
        text("ligand_positions", lambda row: _ligand_positions(row.conformer)),
        number(
            "gradient_rms",
            "kcal_mol_per_angstrom",
            lambda row: row.conformer.minimum.gradient_rms_kcal_mol_angstrom,
        ),
        number("lowest_frequency", "cm1", lambda row: row.lowest_frequency_cm1),
        # Fixed decimals, not significant digits: rounding noise of the engines must not change the bytes.
        number(
            "engine_energy_difference",
            "kcal_mol",
            lambda row: row.conformer.check.energy_difference_kcal_mol,
            decimals=8,
        ),
        number(
            "engine_gradient_difference",
            "kcal_mol_per_angstrom",
            lambda row: row.conformer.check.gradient_difference_kcal_mol_angstrom,
            decimals=7,
        ),
        text("start", lambda row: row.conformer.minimum.start),
    ),
)


def ledger_terms(result: Result) -> tuple[LedgerTerm | PairTerm, ...]:
    """The terms of the hand estimate, then those that the completed sum has besides."""
    return (*result.estimate.terms, *(result.completed.pairs if result.completed else ()))


@dataclass(frozen=True, kw_only=True)
class _TermRow:
    """A term of the estimate or of the completed sum; one without a published value has empty energies and
    says so. A pair term of the completed sum belongs to no chair."""

    result: Result
    term: LedgerTerm | PairTerm

    @property
    def of_chair(self) -> LedgerTerm | None:
        return self.term if isinstance(self.term, LedgerTerm) else None

    @property
    def of_gap(self) -> PairTerm | None:
        return self.term if isinstance(self.term, PairTerm) else None

    @property
    def chair_groups(self) -> str | None:
        letter = self.of_chair and self.of_chair.chair
        return next((chair.name for chair in self.result.chairs if chair.letter == letter), None)

    @property
    def kind(self) -> str:
        return f"pair, {self.term.relation}" if isinstance(self.term, PairTerm) else self.term.kind

    @property
    def share_kcal_mol(self) -> float | None:
        return self.term.value_kcal_mol if isinstance(self.term, PairTerm) else signed_share(self.term)

    @property
    def words(self) -> str:
        return pair_words(self.term) if isinstance(self.term, PairTerm) else self.term.words


LEDGER: Table[Outcome, _TermRow] = Table(
    rows=lambda outcome: (
        _TermRow(result=result, term=term) for result in outcome.results for term in ledger_terms(result)
    ),
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("chair", lambda row: row.of_chair.chair if row.of_chair else None),
        text("chair_groups", lambda row: row.chair_groups),
        text("kind", lambda row: row.kind),
        text("carbons", lambda row: joined_numbers(row.term.carbons)),
        text("groups", lambda row: "; ".join(row.term.groups)),
        number(
            "energy_in_this_chair_low",
            "kcal_mol",
            lambda row: row.of_chair.low_kcal_mol if row.of_chair else None,
            sign="positive_unfavourable",
        ),
        number(
            "energy_in_this_chair",
            "kcal_mol",
            lambda row: row.of_chair.value_kcal_mol if row.of_chair else None,
            sign="positive_unfavourable",
        ),
        number(
            "energy_in_this_chair_high",
            "kcal_mol",
            lambda row: row.of_chair.high_kcal_mol if row.of_chair else None,
            sign="positive_unfavourable",
        ),
        gap("contribution_to", lambda row: row.share_kcal_mol),
        number(
            "contribution_uncertainty",
            "kcal_mol",
            lambda row: row.of_gap.uncertainty_kcal_mol if row.of_gap else None,
        ),
        text("origin", lambda row: origin_words(row.term)),
        text("counts_in", lambda row: counts_in(row.term, row.result)),
        yes_or_no("published_value", lambda row: origin_words(row.term) == "published"),
        text("source", lambda row: row.term.source),
        text("medium", lambda row: row.term.medium),
        number("temperature", "k", lambda row: row.of_gap.temperature_k if row.of_gap else None),
        text("words", lambda row: row.words),
    ),
)


@dataclass(frozen=True, kw_only=True)
class _PositionRow:
    """A ring carbon in a chair. best is the chair's best conformer, None when the search found none of its
    own kind: then there are no angles."""

    result: Result
    chair: Chair
    carbon: RingCarbon
    best: Conformer | None

    def group(self, face: Face) -> str:
        return self.carbon.up.group if face == "up" else self.carbon.down.group

    def position(self, face: Face) -> str:
        return position_in_chair(self.carbon.locant, face, self.chair.odd_up_axial)

    def angle_deg(self, face: Face) -> float | None:
        place = (self.carbon.locant, face)
        ligands = self.best.ligands if self.best else ()
        return next((item.angle_deg for item in ligands if (item.carbon, item.face) == place), None)


def _position_rows(outcome: Outcome) -> Iterator[_PositionRow]:
    for result in outcome.results:
        for chair in result.chairs:
            best = lowest_in_chair(result.conformers, chair.letter)
            own = best if best is not None and best.chair == chair.letter else None
            for carbon in carbon_by_locant(result):
                yield _PositionRow(result=result, chair=chair, carbon=carbon, best=own)


def _of_face(face: Face) -> tuple[Column[_PositionRow], ...]:
    return (
        text(f"{face}_group", lambda row: row.group(face)),
        text(f"{face}_position", lambda row: row.position(face)),
        number(f"{face}_angle_to_ring_normal", "deg", lambda row: row.angle_deg(face)),
    )


POSITIONS: Table[Outcome, _PositionRow] = Table(
    rows=_position_rows,
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("chair", lambda row: row.chair.letter),
        text("chair_groups", lambda row: row.chair.name),
        whole("ring_carbon", lambda row: row.carbon.locant),
        *_of_face("up"),
        *_of_face("down"),
        whole("angles_from_conformer", lambda row: row.best.number if row.best else None),
    ),
)


@dataclass(frozen=True, kw_only=True)
class _ContactRow:
    """A close contact of two ligands in a conformer."""

    result: Result
    conformer: Conformer
    contact: Contact


CONTACTS: Table[Outcome, _ContactRow] = Table(
    rows=lambda outcome: (
        _ContactRow(result=result, conformer=conformer, contact=contact)
        for result in outcome.results
        for conformer in by_energy(result.conformers)
        for contact in conformer.contacts
    ),
    columns=(
        text("name", lambda row: row.result.molecule.name),
        whole("conformer", lambda row: row.conformer.number),
        text("chair", lambda row: row.conformer.chairs_held or None),
        text("kind", lambda row: row.contact.kind),
        whole("carbon_1", lambda row: row.contact.carbons[0]),
        text("group_1", lambda row: row.contact.groups[0]),
        whole("carbon_2", lambda row: row.contact.carbons[1]),
        text("group_2", lambda row: row.contact.groups[1]),
        number("closest_distance", "angstrom", lambda row: row.contact.distance_angstrom),
        number("dihedral", "deg", lambda row: row.contact.dihedral_deg),
    ),
)
