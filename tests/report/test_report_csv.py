"""The CSV tables: frozen headers, stable bytes, nothing lost, nothing run by a spreadsheet."""

import csv
import io
from dataclasses import replace

import pandas as pd
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from made_outcome import conformer, outcome, polar_result, result, symmetric_result

from chairgap.records import EngineCheck
from chairgap.report.columns import PLAIN_NUMBER, Table, number, text
from chairgap.report.detail_tables import CONFORMERS, LEDGER, POSITIONS
from chairgap.report.digest import engine_agreement
from chairgap.report.gaps_table import GAPS
from chairgap.report.study_tables import STUDY_TABLES

HEADERS = {
    "gaps": (
        "name,status,message,smiles,inchi,groups_by_face,name_systematic,groups,locants,"
        "cis_trans,cip,no_name_because,chair_A,chair_B,temperature_k,force_field,"
        "minimising_engine,quantum_method,medium,dielectric_constant,a_value_table,"
        "headline_chair,anchored_gap_B_minus_A_kcal_mol_positive_favours_A,anchored_uncertainty_kcal_mol,"
        "headline_low_favoured_chair_of_both_percent,headline_favoured_chair_of_both_percent,"
        "headline_high_favoured_chair_of_both_percent,hand_sum_stands,model_stands,"
        "estimate_low_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "estimate_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "estimate_high_gap_B_minus_A_kcal_mol_positive_favours_A,estimate_complete,estimate_missing_terms,"
        "estimate_flags,completed_sum_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "completed_sum_missing_terms,potential_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "ensemble_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "gibbs_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "gibbs_low_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "gibbs_high_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "harmonic_gibbs_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "enthalpy_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "entropy_gap_B_minus_A_cal_mol_k_positive_B_has_more,"
        "fitted_enthalpy_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "fitted_entropy_gap_B_minus_A_cal_mol_k_positive_B_has_more,fit_largest_deviation_kcal_mol,"
        "best_non_chair_minus_best_chair_potential_kcal_mol_positive_favours_chair,"
        "gibbs_gap_minus_estimate_gap_kcal_mol_positive_computed_favours_A_more,sign_verdict,size_verdict,"
        "preferred_by_computation,preferred_in_words,reason_codes,reason_evidence,"
        "population_chair_A_percent,population_chair_B_percent,population_non_chair_percent,"
        "estimate_low_chair_A_of_both_percent,estimate_chair_A_of_both_percent,"
        "estimate_high_chair_A_of_both_percent,gibbs_low_chair_A_of_both_percent,"
        "gibbs_chair_A_of_both_percent,gibbs_high_chair_A_of_both_percent,equilibrium_constant_A_over_B,"
        "chairs_equal_by_symmetry,global_minimum_form,global_minimum_family,global_minimum_chair,"
        "engine_energy_difference_max_kcal_mol,engine_gradient_difference_max_kcal_mol_per_angstrom,"
        "engines_agree,conformers,search_ring_starts,search_lattice_states,search_starts_minimised,"
        "search_starts_left_early,search_minima_found,search_minimisations_per_minimum,search_exhaustive,search_rounds,search_new_minima_in_last_round,"
        "search_shift_by_last_quarter_kcal_mol,search_dropped_stereo_changed,search_dropped_unconverged,search_saddles_left,notes"
    ),
    "conformers": (
        "name,conformer,chair,chair_groups,model,temperature_k,potential_energy_kcal_mol,"
        "potential_energy_above_lowest_kcal_mol_positive_less_stable,gibbs_energy_kcal_mol,"
        "gibbs_energy_above_lowest_kcal_mol_positive_less_stable,harmonic_gibbs_energy_kcal_mol,"
        "enthalpy_kcal_mol,population_percent,degeneracy_in_chair_A,degeneracy_in_chair_B,degeneracy_non_chair,"
        "rotational_symmetry_number,mirror_images,dipole_debye,ring_form,ring_family,angle_to_form_deg,"
        "cremer_pople_q_angstrom,cremer_pople_theta_deg,cremer_pople_phi_deg,ligand_positions,"
        "gradient_rms_kcal_mol_per_angstrom,lowest_frequency_cm1,engine_energy_difference_kcal_mol,"
        "engine_gradient_difference_kcal_mol_per_angstrom,start"
    ),
    "ledger": (
        "name,chair,chair_groups,kind,carbons,groups,"
        "energy_in_this_chair_low_kcal_mol_positive_unfavourable,"
        "energy_in_this_chair_kcal_mol_positive_unfavourable,"
        "energy_in_this_chair_high_kcal_mol_positive_unfavourable,"
        "contribution_to_gap_B_minus_A_kcal_mol_positive_favours_A,contribution_uncertainty_kcal_mol,"
        "origin,counts_in,published_value,source,medium,temperature_k,words"
    ),
    "anchored": (
        "name,model,temperature_k,part,relation,carbons,groups,"
        "contribution_to_anchored_gap_B_minus_A_kcal_mol_positive_favours_A,uncertainty_kcal_mol,origin,note"
    ),
    "published": (
        "name,key,chair_A,chair_B,published_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "published_error_kcal_mol,quantity,bound,favoured_chair,as_published,temperature_k,"
        "temperature_stated,medium,method,source,doi,known,model,anchored_in,"
        "anchored_gap_B_minus_A_kcal_mol_positive_favours_A,anchored_uncertainty_kcal_mol,"
        "anchored_minus_published_gap_B_minus_A_kcal_mol_positive_favours_A,anchored_stands,note"
    ),
    "positions": (
        "name,chair,chair_groups,ring_carbon,up_group,up_position,up_angle_to_ring_normal_deg,down_group,"
        "down_position,down_angle_to_ring_normal_deg,angles_from_conformer"
    ),
    "contacts": (
        "name,conformer,chair,kind,carbon_1,group_1,carbon_2,group_2,closest_distance_angstrom,dihedral_deg"
    ),
    "split": (
        "name,model,temperature_k,part,relation,carbons,groups,computed_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "tabulated_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "computed_minus_tabulated_gap_B_minus_A_kcal_mol_positive_favours_A,note"
    ),
    "temperatures": (
        "name,model,temperature_k,anchored_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "gibbs_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "equilibrium_constant_A_over_B,population_chair_A_percent,population_chair_B_percent,"
        "population_non_chair_percent"
    ),
    "solvents": (
        "name,force_field_or_quantum_method,temperature_k,medium,dielectric_constant,"
        "anchored_gap_B_minus_A_kcal_mol_positive_favours_A,anchored_uncertainty_kcal_mol,"
        "anchored_parts_from,anchored_note,potential_gap_B_minus_A_kcal_mol_positive_favours_A,"
        "gibbs_gap_B_minus_A_kcal_mol_positive_favours_A,population_chair_A_percent,"
        "population_chair_B_percent,population_non_chair_percent,hydrogen_bonds_best_of_A,"
        "hydrogen_bonds_best_of_B"
    ),
}

TEXTS: Table[list[tuple[str, str]], tuple[str, str]] = Table(
    rows=lambda rows: rows, columns=(text("name", lambda row: row[0]), text("end", lambda row: row[1]))
)


def rows(written: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(written)))


@pytest.mark.parametrize("name", HEADERS)
def test_headers_are_frozen(name: str) -> None:
    assert STUDY_TABLES[name].csv_text(outcome()).split("\n")[0] == HEADERS[name]


@pytest.mark.parametrize("name", HEADERS)
def test_headers_are_there_without_any_row(name: str) -> None:
    empty = replace(outcome(), results=(), refused=(), failed=())
    assert STUDY_TABLES[name].csv_text(empty) == HEADERS[name] + "\n"


def test_the_headers_of_every_table_are_frozen() -> None:
    assert list(HEADERS) == list(STUDY_TABLES)


def test_every_energy_difference_in_a_header_says_which_sign_favours_what() -> None:
    for headers in HEADERS.values():
        for header in headers.split(","):
            if "gap" in header.split("_") or "minus" in header:
                units = ("kcal_mol_positive_", "cal_mol_k_positive_")
                assert "minus" in header and any(unit in header for unit in units), header
            if "above_lowest" in header or "carried_by" in header:
                assert "kcal_mol_positive_" in header, header


@pytest.mark.parametrize("name", HEADERS)
def test_the_same_outcome_gives_the_same_bytes(name: str) -> None:
    first, second = (STUDY_TABLES[name].csv_text(outcome()).encode() for _ in range(2))
    assert first == second
    assert b"\r" not in first and first.endswith(b"\n") and not first.endswith(b"\n\n")


def test_rounding_noise_of_the_engines_does_not_reach_the_bytes() -> None:
    base = result()
    noisy = EngineCheck(energy_difference_kcal_mol=7e-12, gradient_difference_kcal_mol_angstrom=9e-11)
    other = replace(base, conformers=tuple(replace(c, check=noisy) for c in base.conformers))
    assert GAPS.csv_text(outcome(base)) == GAPS.csv_text(outcome(other))


def test_gaps_row_carries_every_kind_of_gap_in_its_column() -> None:
    row = rows(GAPS.csv_text(outcome()))[0]
    assert row["estimate_gap_B_minus_A_kcal_mol_positive_favours_A"] == "1.7400"
    assert row["estimate_low_gap_B_minus_A_kcal_mol_positive_favours_A"] == "1.7000"
    assert row["estimate_high_gap_B_minus_A_kcal_mol_positive_favours_A"] == "1.8200"
    assert row["potential_gap_B_minus_A_kcal_mol_positive_favours_A"] == "1.3700"
    assert row["gibbs_gap_B_minus_A_kcal_mol_positive_favours_A"] == "1.5000"
    assert row["best_non_chair_minus_best_chair_potential_kcal_mol_positive_favours_chair"] == "6.1200"
    assert row["gibbs_gap_minus_estimate_gap_kcal_mol_positive_computed_favours_A_more"] == "-0.2400"
    assert (row["chair_A"], row["chair_B"], row["temperature_k"]) == ("1e", "1a", "298.15")
    assert (row["population_chair_A_percent"], row["equilibrium_constant_A_over_B"]) == ("92.0000", "11.514")


def test_refused_and_failed_molecules_keep_a_row_with_the_message() -> None:
    found = rows(GAPS.csv_text(outcome()))
    assert [row["status"] for row in found] == ["done", "done", "done", "refused", "failed"]
    assert found[3]["message"] == (
        "made.toml, line 20, field 'molecule[3].smiles': "
        "There is no saturated ring of six carbons. Give a cyclohexane."
    )
    assert found[4]["message"] == "No start converged. Raise the effort."
    assert found[4]["gibbs_gap_B_minus_A_kcal_mol_positive_favours_A"] == ""


def test_a_missing_value_is_an_empty_cell_and_never_minus_zero() -> None:
    missing = rows(LEDGER.csv_text(outcome(polar_result())))[1]
    assert missing["published_value"] == "no"
    assert missing["energy_in_this_chair_kcal_mol_positive_unfavourable"] == ""
    assert missing["contribution_to_gap_B_minus_A_kcal_mol_positive_favours_A"] == ""
    gaps = rows(GAPS.csv_text(outcome(polar_result())))[0]
    assert gaps["potential_gap_B_minus_A_kcal_mol_positive_favours_A"] == "0.0000"  # -0.00001 in the record
    assert gaps["estimate_complete"] == "no"
    assert gaps["estimate_missing_terms"] == "syn-diaxial F/OH on carbons 1 and 3"


def test_ledger_contributions_add_up_to_the_estimate() -> None:
    base = result()
    term = replace(base.estimate.terms[0], chair="A", value_kcal_mol=0.5)
    both = replace(base, estimate=replace(base.estimate, terms=(*base.estimate.terms, term)))
    shares = [
        float(row["contribution_to_gap_B_minus_A_kcal_mol_positive_favours_A"])
        for row in rows(LEDGER.csv_text(outcome(both)))
    ]
    assert shares == [1.74, -0.5]  # what A carries speaks against A


def test_positions_alternate_and_swap_between_the_chairs() -> None:
    """Three axial up and three down, alternating; a flip swaps all (common practice, no source)."""
    found = rows(POSITIONS.csv_text(outcome(result())))
    assert [row["ring_carbon"] for row in found] == list("123456") * 2
    chair_a, chair_b = found[:6], found[6:]
    for row, flipped in zip(chair_a, chair_b, strict=True):
        assert {row["up_position"], row["down_position"]} == {"axial", "equatorial"}
        assert flipped["up_position"] == row["down_position"]
    assert [row["up_position"] for row in chair_a] == ["equatorial", "axial"] * 3
    assert chair_b[0]["up_group"] == "CH3" and chair_b[0]["up_position"] == "axial"
    assert chair_b[0]["up_angle_to_ring_normal_deg"] == "5.25"


def test_a_chair_held_only_by_a_symmetry_copy_shows_no_angle_of_the_other_chair() -> None:
    found = rows(POSITIONS.csv_text(outcome(symmetric_result())))
    assert {row["up_angle_to_ring_normal_deg"] != "" for row in found[:6]} == {True}
    assert {row["up_angle_to_ring_normal_deg"] for row in found[6:]} == {""}


def test_conformers_stand_by_energy_and_their_populations_add_up() -> None:
    found = rows(CONFORMERS.csv_text(outcome(result())))
    assert [row["conformer"] for row in found] == ["1", "2"]
    assert sum(float(row["population_percent"]) for row in found) == pytest.approx(100.0, abs=1e-3)
    # exp(1.5 / (0.0019872 * 298.15)) = 12.58 to 1, by hand: 1.5 / 0.59248 = 2.5317, e^2.5317 = 12.575
    assert float(found[0]["population_percent"]) / float(found[1]["population_percent"]) == pytest.approx(
        12.575, abs=0.01
    )


def test_copies_count_in_the_population() -> None:
    top = result().molecule.topology
    twice = conformer(top, 1, False, degeneracy_a=2)
    once = conformer(top, 2, True, chair="B", degeneracy_a=0, degeneracy_b=1)
    found = rows(CONFORMERS.csv_text(outcome(replace(result(), conformers=(twice, once)))))
    assert [row["population_percent"] for row in found] == ["66.6667", "33.3333"]


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_text_that_a_spreadsheet_would_run_is_marked_as_text(start: str) -> None:
    assert TEXTS.csv_text([(f"{start}1+1", "")]) == f"name,end\n'{start}1+1,\n"
    assert TEXTS.csv_text([(f"\t{start}1+1", "")]) == f"name,end\n'{start}1+1,\n"


def test_negative_numbers_and_smiles_stay_as_they_are() -> None:
    table: Table[list[tuple[float, str]], tuple[float, str]] = Table(
        rows=lambda rows: rows,
        columns=(number("x", "kcal_mol", lambda row: row[0]), text("smiles", lambda row: row[1])),
    )
    assert (
        table.csv_text([(-0.5, "[O-]C(=O)[C@@H]1CCCCC1")])
        == "x_kcal_mol,smiles\n-0.5000,[O-]C(=O)[C@@H]1CCCCC1\n"
    )


def test_zero_has_no_minus_with_and_without_fixed_decimals() -> None:
    table: Table[list[float], float] = Table(
        rows=lambda rows: rows,
        columns=(number("x", "kcal_mol", lambda row: row), number("y", "", lambda row: row)),
    )
    assert table.csv_text([-0.0]) == "x_kcal_mol,y\n0.0000,0\n"


@pytest.mark.parametrize(("words", "written"), [("-0", "-0"), ("-1.5e3", "-1.5e3"), ("-\u0663", "'-\u0663")])
def test_only_a_number_in_plain_digits_stands_behind_a_sign_unmarked(words: str, written: str) -> None:
    assert TEXTS.csv_text([(words, "")]) == f"name,end\n{written},\n"


@given(st.text(max_size=40))
@example("-0")
@example("-\u0663")
def test_any_text_comes_back_from_a_csv_reader_on_one_line(words: str) -> None:
    written = TEXTS.csv_text([(words, "end")])
    (row,) = csv.DictReader(io.StringIO(written, newline=""))
    assert row["end"] == "end"
    assert written.count("\n") == 2
    assert row["name"].removeprefix("'").replace(" ", "") == "".join(
        letter for letter in words if letter.isprintable() and letter != " "
    ).removeprefix("'")
    assert row["name"][:1] not in ("=", "+", "-", "@") or PLAIN_NUMBER.fullmatch(row["name"])


def test_pandas_reads_the_table_back() -> None:
    read = pd.read_csv(io.StringIO(GAPS.csv_text(outcome())))
    assert list(read["gibbs_gap_B_minus_A_kcal_mol_positive_favours_A"][:3]) == [1.5, -0.37, 0.0]


@pytest.mark.parametrize(
    ("energy", "gradient", "agree"),
    [
        (1e-6, 1e-5, "yes"),
        (1.01e-6, 1e-7, "no"),
        (1e-9, 1.01e-5, "no"),
        (float("nan"), 1e-9, "no"),
        (None, None, "not checked"),
        (1e-9, None, "not checked"),
    ],
)
def test_engines_agree_only_within_both_limits(energy, gradient, agree) -> None:
    base = result().conformers[0]
    check = EngineCheck(energy_difference_kcal_mol=energy, gradient_difference_kcal_mol_angstrom=gradient)
    good = EngineCheck(energy_difference_kcal_mol=0.0, gradient_difference_kcal_mol_angstrom=0.0)
    both = (replace(base, check=good), replace(base, check=check))
    assert engine_agreement(both).agree == agree


def test_no_conformer_means_not_checked() -> None:
    assert engine_agreement(()).agree == "not checked"
