"""A hand-made outcome for tests of layout. All numbers are invented; no chemistry is tested with them."""

from dataclasses import replace

from chairgap.errors import Place
from chairgap.records import (
    Anchored,
    AnchoredPart,
    AValueRow,
    Comparison,
    Contact,
    Estimate,
    EstimateTable,
    Gaps,
    Headline,
    LedgerTerm,
    LinearFit,
    Molecule,
    Outcome,
    Reason,
    Refusal,
    Result,
    SearchReport,
    SeriesPoint,
    Settings,
    Split,
    SplitPart,
    Study,
    Tables,
    TemperatureSeries,
)
from chairgap.shape.chairs import two_chairs
from chairgap.tables.shipped import read_scorecard
from report.made_conformers import conformer, topology


def result(name: str = "methylcyclohexane", group: str = "CH3") -> Result:
    """One group up on carbon 1: chair A equatorial, chair B axial."""
    top = topology({(1, "up"): group})
    chairs = two_chairs(top)
    best_a = conformer(top, 1, chairs[0].odd_up_axial)
    best_b = conformer(
        top,
        2,
        chairs[1].odd_up_axial,
        chair="B",
        degeneracy_a=0,
        degeneracy_b=1,
        gibbs_kcal_mol=101.5,
        minimum=replace(best_a.minimum, energy_kcal_mol=-1.63, start="chair B, lattice 1"),
        contacts=(
            Contact(kind="1,3-diaxial", carbons=(1, 3), groups=(group, "H"), distance_angstrom=2.375),
            Contact(
                kind="gauche", carbons=(1, 2), groups=(group, "OH"), distance_angstrom=2.9, dihedral_deg=-62.4
            ),
        ),
    )
    return Result(
        molecule=Molecule(
            name=name,
            smiles="CC1CCCCC1",
            inchi="InChI=1S/C7H14/c1-7-5-3-2-4-6-7/h7H,2-6H2,1H3",
            groups_by_face=f"1 up {group}",
            topology=top,
            rdkit_binary=b"",
            place=Place(file="made.toml", line=7),
            notes=("ring carbon 1 chosen by rank",),
        ),
        chairs=chairs,
        conformers=(best_b, best_a),
        search=SearchReport(
            ring_starts=8,
            lattice_states=3,
            starts_minimised=24,
            minima_found=2,
            exhaustive=True,
            rounds=1,
            new_in_last_round=0,
            dropped_stereo_changed=0,
            dropped_unconverged=1,
            saddles_left=0,
        ),
        late_shift_kcal_mol=0.0,
        completed=None,
        estimate=Estimate(
            terms=(
                LedgerTerm(
                    chair="B",
                    kind="A-value",
                    carbons=(1,),
                    faces=("up",),
                    groups=(group,),
                    value_kcal_mol=1.74,
                    low_kcal_mol=1.7,
                    high_kcal_mol=1.82,
                    source="booth_everett_1980",
                    medium="",
                    words=f"axial {group} on carbon 1",
                ),
            ),
            gap_kcal_mol=1.74,
            low_kcal_mol=1.7,
            high_kcal_mol=1.82,
            missing=(),
            flags=(),
        ),
        gaps=Gaps(
            potential_kcal_mol=1.37,
            ensemble_kcal_mol=1.37,
            gibbs_kcal_mol=1.5,
            enthalpy_kcal_mol=1.4,
            entropy_cal_mol_k=-0.335,
            harmonic_gibbs_kcal_mol=1.52,
            to_non_chair_kcal_mol=6.12,
            population_a=0.92,
            population_b=0.0799,
            population_non_chair=0.0001,
            equilibrium_constant=11.514,
            equal_by_symmetry=False,
        ),
        comparison=Comparison(
            difference_kcal_mol=-0.24,
            computed_low_kcal_mol=1.26,
            computed_high_kcal_mol=1.74,
            sign="agrees",
            size="agrees",
            preferred="A",
            reasons=(),
        ),
        anchored=Anchored(
            gap_kcal_mol=1.74,
            uncertainty_kcal_mol=0.06,
            parts=(
                AnchoredPart(
                    kind="measured A-value",
                    carbons=(1,),
                    groups=(group,),
                    relation=None,
                    value_kcal_mol=1.74,
                    uncertainty_kcal_mol=0.06,
                    origin="booth_everett_1980",
                ),
            ),
        ),
        headline=Headline(
            chair="A",
            gap_kcal_mol=1.74,
            uncertainty_kcal_mol=0.06,
            percent=94.96,
            low_percent=94.45,
            high_percent=95.42,
            hand_sum="agrees",
            model="agrees",
        ),
        split=Split(
            parts=(
                SplitPart(
                    kind="single group",
                    relation="",
                    carbons=(1,),
                    groups=(group,),
                    computed_kcal_mol=1.5,
                    tabulated_kcal_mol=1.74,
                ),
            )
        ),
        temperatures=TemperatureSeries(
            points=(
                SeriesPoint(
                    temperature_k=250.0,
                    gibbs_kcal_mol=1.48,
                    equilibrium_constant=19.7,
                    population_a=0.951,
                    population_b=0.048,
                    population_non_chair=0.001,
                ),
            ),
            fit=LinearFit(enthalpy_kcal_mol=1.4, entropy_cal_mol_k=-0.335, largest_deviation_kcal_mol=0.002),
        ),
        media=(),
        anchored_in_media=(),
        measured=(),
    )


def polar_result() -> Result:
    """A molecule on which estimate and force field disagree, with a missing term."""
    base = result("fluoro | <b>odd</b> *name*", "F")
    missing = LedgerTerm(
        chair="B",
        kind="syn-diaxial",
        carbons=(1, 3),
        faces=("up", "up"),
        groups=("F", "OH"),
        value_kcal_mol=None,
        low_kcal_mol=None,
        high_kcal_mol=None,
        source="",
        medium="",
        words="no published value for F / OH",
    )
    return replace(
        base,
        estimate=replace(
            base.estimate,
            terms=(*base.estimate.terms, missing),
            missing=("syn-diaxial F/OH on carbons 1 and 3",),
            flags=("geminal",),
        ),
        gaps=replace(base.gaps, gibbs_kcal_mol=-0.37, potential_kcal_mol=-0.00001),
        comparison=Comparison(
            difference_kcal_mol=-2.11,
            computed_low_kcal_mol=-0.9,
            computed_high_kcal_mol=0.16,
            sign="disagrees",
            size="disagrees",
            preferred="B",
            reasons=(
                Reason(code="charged-groups", evidence="-F has 0.20 e"),
                Reason(code="missing-table-value", evidence="1 term"),
            ),
        ),
        anchored=Anchored(
            gap_kcal_mol=0.6,
            uncertainty_kcal_mol=0.5,
            parts=(
                replace(
                    base.anchored.parts[0],
                    kind="computed single group",
                    value_kcal_mol=0.2,
                    uncertainty_kcal_mol=0.3,
                    origin="MMFF94",
                ),
                replace(
                    base.anchored.parts[0],
                    kind="pair",
                    carbons=(1, 3),
                    groups=("F", "OH"),
                    relation="cis-1,3",
                    value_kcal_mol=0.4,
                    uncertainty_kcal_mol=0.4,
                    origin="MP2/def2-TZVP",
                ),
            ),
        ),
        headline=replace(
            base.headline,
            gap_kcal_mol=0.6,
            uncertainty_kcal_mol=0.5,
            percent=73.4,
            low_percent=54.2,
            high_percent=86.5,
            hand_sum="incomplete",
            model="opposite chair",
        ),
        search=replace(base.search, exhaustive=False, new_in_last_round=2),
        late_shift_kcal_mol=0.05,
    )


def symmetric_result() -> Result:
    """The two chairs are copies of each other: one conformer stands for both."""
    top = topology({(1, "up"): "CH3", (2, "up"): "CH3"})
    chairs = two_chairs(top)
    base = result("cis-1,2-dimethylcyclohexane")
    return replace(
        base,
        chairs=chairs,
        molecule=replace(base.molecule, topology=top),
        conformers=(conformer(top, 1, chairs[0].odd_up_axial, degeneracy_b=1),),
        estimate=replace(base.estimate, terms=(), gap_kcal_mol=0.0, low_kcal_mol=0.0, high_kcal_mol=0.0),
        gaps=replace(
            base.gaps,
            potential_kcal_mol=0.0,
            ensemble_kcal_mol=0.0,
            gibbs_kcal_mol=0.0,
            population_a=0.5,
            population_b=0.5,
            population_non_chair=0.0,
            equilibrium_constant=1.0,
            equal_by_symmetry=True,
        ),
        comparison=Comparison(
            difference_kcal_mol=0.0,
            computed_low_kcal_mol=0.0,
            computed_high_kcal_mol=0.0,
            sign="agrees",
            size="agrees",
            preferred="equal",
            reasons=(),
        ),
        anchored=Anchored(gap_kcal_mol=0.0, uncertainty_kcal_mol=0.0, parts=()),
        headline=replace(
            base.headline,
            chair="equal",
            gap_kcal_mol=0.0,
            uncertainty_kcal_mol=0.0,
            percent=50.0,
            low_percent=50.0,
            high_percent=50.0,
        ),
        split=Split(parts=(), note="the chairs are equal by symmetry: there is no difference to divide"),
    )


TABLE = EstimateTable(
    name="chairgap",
    a_values=(
        AValueRow(
            group="CH3",
            names=("Me", "methyl"),
            fragment="*C",
            value_kcal_mol=1.74,
            low_kcal_mol=1.7,
            high_kcal_mol=1.82,
            temperature_k=298.0,
            medium="",
            solvent="",
            method="NMR",
            source="booth_everett_1980",
            known="primary",
            note="",
        ),
    ),
    interactions=(),
    short_sources={"booth_everett_1980": "Booth & Everett 1980"},
)


def outcome(*results: Result) -> Outcome:
    return Outcome(
        study=Study(
            settings=Settings(title="Made for tests", output="reports/made"),
            tables=Tables(
                estimate=TABLE,
                sources={},
                scorecard=read_scorecard(),
                pairs=(),
                spreads=(),
                equilibria=(),
                in_media={},
                checksums={"t.csv": "00"},
            ),
            requests=(),
            text='title = "Made for tests"\n',
            file="made.toml",
        ),
        results=results or (result(), polar_result(), symmetric_result()),
        refused=(
            Refusal(
                name="=benzene",
                message="There is no saturated ring of six carbons. Give a cyclohexane.",
                place=Place(file="made.toml", line=20, field="molecule[3].smiles"),
            ),
        ),
        failed=(Refusal(name="hard one", message="No start converged. Raise the effort.", place=Place()),),
    )
