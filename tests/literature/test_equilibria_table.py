"""data/equilibria.csv: every row is complete and sourced, and the published number gives its gap.

Sources: named in each row and in the tests below. kcal/mol; 298.15 K is assumed where no temperature is
stated.
"""

import math

import pytest

from literature.csv_rows import equilibrium, from_percent, rows

ROWS = rows("equilibria")
every_row = pytest.mark.parametrize("row", ROWS, ids=[row["key"] for row in ROWS])
SIGN_ONLY = "more populated"
NOT_STATED = "not stated"


def gap_of_named_chair(row: dict[str, str]) -> float:
    """G or E of the other chair less that of the named chair, from the row alone."""
    if row["kind"] == "percent":
        return from_percent(float(row["value"]), float(row["temperature_k"] or 298.15))
    return float(row["value"])


def test_keys_are_unique_and_no_measurement_stands_twice() -> None:
    assert len({row["key"] for row in ROWS}) == len(ROWS)
    what = [(row["groups_by_face"], row["source"], row["medium"], row["temperature_k"]) for row in ROWS]
    assert len(set(what)) == len(what)


@every_row
def test_key_begins_with_the_source_and_the_source_is_known(row: dict[str, str]) -> None:
    keys = {source["key"] for source in rows("sources")}
    assert row["source"] in keys
    author, year = row["source"].removesuffix("_halides").removesuffix("_acetates").rsplit("_", 1)
    if year.isdigit():
        assert row["key"].startswith(f"{author}_{year}_")


@every_row
def test_words_of_the_columns(row: dict[str, str]) -> None:
    assert row["kind"] in {"gibbs", "energy", "percent", SIGN_ONLY}
    assert row["bound"] in {"", "more than", "about"}
    assert row["known"] in {"seen", "seen as quotation", "from memory"}
    assert row["method"]
    assert (row["value"] == "") == (row["kind"] == SIGN_ONLY)
    assert not row["error"] or (row["value"] and float(row["error"]) > 0)
    assert not row["bound"] or row["kind"] == "percent"


@every_row
def test_numbers_are_possible(row: dict[str, str]) -> None:
    if row["kind"] == "percent":
        assert 0 < float(row["value"]) < 100
    elif row["value"]:
        assert abs(float(row["value"])) < 5
    assert not row["temperature_k"] or 90 < float(row["temperature_k"]) < 700


@every_row
def test_medium_is_a_solvent_of_the_table_of_one_class(row: dict[str, str]) -> None:
    assert row["medium"] in {solvent["name"] for solvent in rows("solvents")} | {"gas phase", NOT_STATED}
    classes = {other["medium_class"] for other in ROWS if other["medium"] == row["medium"]}
    assert classes == {row["medium_class"]}
    assert row["medium_class"] in {"gas", "apolar", "polar", "hydrogen bonding", NOT_STATED}
    assert (row["medium"] == NOT_STATED) == (row["medium_class"] == NOT_STATED)


@every_row
def test_class_of_medium_goes_with_its_dielectric_constant(row: dict[str, str]) -> None:
    """Apolar below 5, the others above: a convention; chloroform, 4.8, does not stand in the table."""
    dielectric = {item["name"]: float(item["dielectric"]) for item in rows("solvents")}.get(row["medium"])
    if dielectric is not None:
        assert (dielectric < 5) == (row["medium_class"] == "apolar")


def test_what_was_not_seen_or_not_measured_in_the_gas_is_marked() -> None:
    how_seen = {source["key"]: source["how_seen"] for source in rows("sources")}
    for row in ROWS:
        assert how_seen[row["source"]].startswith("not seen") == (row["known"] == "from memory"), row["key"]
    marked = {row["key"] for row in ROWS if row["note"].startswith("derived from a solvation theory")}
    assert {row["key"] for row in ROWS if row["medium"] == "gas phase"} - marked == {"richardson_1999_cl2"}


def test_ions_are_marked() -> None:
    ions = {row["key"] for row in ROWS if "-" in row["groups_by_face"]}
    assert ions == {row["key"] for row in ROWS if row["note"].startswith("dianion")}
    assert len(ions) == 2


# --- gaps by hand: key, published percent, T in K, ratio this/other chair, RT ln ratio -------------------

BY_HAND = [
    # Freitas, Tormena, Rittner & Abraham, J. Mol. Struct. 2005: mole fraction aa 0.28, 0.06, 0.28, 0.12
    ("freitas_2005_acetate_f_vapour", 28, 298.15, 28 / 72, -0.560),
    ("freitas_2005_acetate_f_dmso", 6, 298.15, 6 / 94, -1.630),
    ("freitas_2005_acetate_br_vapour", 28, 298.15, 28 / 72, -0.560),
    ("freitas_2005_acetate_br_dmso", 12, 298.15, 12 / 88, -1.180),
    # Richardson, Hedberg & Wiberg, J. Phys. Chem. A 1999, 103, 7709: mole fraction ee 0.46(6) at 378 K
    ("richardson_1999_cl2", 46, 378.0, 46 / 54, -0.120),
    # de Oliveira et al., cis-3-alkoxycyclohexanols: ee 48, 97, 36, 96 %
    ("de_oliveira_2008_propoxy_ccl4", 48, 298.15, 48 / 52, -0.047),
    ("de_oliveira_2008_propoxy_dmso", 97, 298.15, 97 / 3, 2.059),
    ("de_oliveira_2008_isopropoxy_ccl4", 36, 298.15, 36 / 64, -0.341),
    ("de_oliveira_2008_isopropoxy_dmso", 96, 298.15, 96 / 4, 1.883),
    # de Oliveira, Ribeiro & Rittner, J. Phys. Org. Chem. 2005, 18, 513: ee 36, 43, 89, 95 %; trans 77, 83 %
    ("de_oliveira_2005_cis_cyclohexane", 36, 298.15, 36 / 64, -0.341),
    ("de_oliveira_2005_cis_ccl4", 43, 298.15, 43 / 57, -0.167),
    ("de_oliveira_2005_cis_dmso", 89, 298.15, 89 / 11, 1.239),
    ("de_oliveira_2005_trans_ccl4", 77, 298.15, 77 / 23, 0.716),
    ("de_oliveira_2005_ether_trans", 83, 298.15, 83 / 17, 0.939),
    ("de_oliveira_2005_ether_cis", 95, 298.15, 95 / 5, 1.744),
    # de Oliveira, Viesser, Guerrero & Rittner 2011: ee 60 % in acetone at 0.01 mol/L
    ("de_oliveira_2011_amino_acetone", 60, 298.15, 60 / 40, 0.240),
    # Francisco et al., Beilstein J. Org. Chem. 2019, 15, 818: more than 90 %
    ("francisco_2019_f_cd2cl2", 90, 298.15, 90 / 10, 1.302),
]


@pytest.mark.parametrize(("key", "percent", "temperature_k", "ratio", "gap"), BY_HAND)
def test_gap_of_a_published_percentage(
    key: str, percent: float, temperature_k: float, ratio: float, gap: float
) -> None:
    row = equilibrium(key)
    assert (row["kind"], float(row["value"])) == ("percent", percent)
    assert float(row["temperature_k"] or 298.15) == temperature_k
    # (1) gap = RT ln x/(1 - x), R = 0.0019872 kcal/mol/K
    assert 0.0019872 * temperature_k * math.log(ratio) == pytest.approx(gap, abs=0.0006)
    assert gap_of_named_chair(row) == pytest.approx(gap, abs=0.0006)


# --- published differences: the more stable chair is the one that the source says --------------------------

PUBLISHED = [
    # Freitas, Rittner, Tormena & Abraham, Spectrochim. Acta A 2005: E(ee)-E(aa)
    ("freitas_2005_f2_vapour", "energy", "1a 2a", 0.10),
    ("freitas_2005_f2_ccl4", "energy", "1a 2a", -0.63),
    ("freitas_2005_f2_dmso", "energy", "1a 2a", -1.91),
    ("freitas_2005_cl2_vapour", "energy", "1a 2a", 0.95),
    ("freitas_2005_cl2_ccl4", "energy", "1a 2a", 0.36),
    ("freitas_2005_cl2_dmso", "energy", "1a 2a", -0.80),
    # Abraham, Chambers & Thomas, J. Chem. Soc., Perkin Trans. 2 1993, 1061: G(aa)-G(ee)
    ("abraham_1993_diol_ccl4", "gibbs", "1e 3e", 0.1),
    ("abraham_1993_diol_water", "gibbs", "1e 3e", 2.7),
    # de Oliveira et al. 2011 and 2006: G(ee)-G(aa)
    ("de_oliveira_2011_amino_ccl4", "gibbs", "1a 3a", 0.06),
    ("de_oliveira_2011_amino_dmso", "gibbs", "1a 3a", -1.53),
    ("de_oliveira_2006_ethoxy_ccl4", "gibbs", "1a 3a", -0.03),
    ("de_oliveira_2006_ethoxy_dmso", "gibbs", "1a 3a", -2.05),
    # Eliel & Manoharan 1981 as Wiberg et al., J. Org. Chem. 2000, 65, 1181 quote: G(Ph eq)-G(Ph ax)
    ("wiberg_2000_methyl_phenyl", "gibbs", "1e(CH3) 1a(C6H5)", 0.32),
]


@pytest.mark.parametrize(("key", "kind", "this_chair", "difference"), PUBLISHED)
def test_published_difference_and_the_chair_it_starts_from(
    key: str, kind: str, this_chair: str, difference: float
) -> None:
    row = equilibrium(key)
    assert (row["kind"], row["chair"], float(row["value"])) == (kind, this_chair, difference)


@pytest.mark.parametrize(
    ("key", "percent_ee"),
    [
        ("de_oliveira_2011_amino_ccl4", 47),
        ("de_oliveira_2011_amino_dmso", 93),
        ("de_oliveira_2006_ethoxy_ccl4", 51),
        ("de_oliveira_2006_ethoxy_dmso", 97),
    ],
)
def test_energies_and_percentages_of_one_abstract_agree(key: str, percent_ee: float) -> None:
    """Percentages are whole numbers: the energy lies between those of half a percent less and more, give or
    take 0.005 for its own last digit."""
    published = -float(equilibrium(key)["value"])  # the row speaks of aa
    low, high = from_percent(percent_ee - 0.5), from_percent(percent_ee + 0.5)
    assert low - 0.005 <= published <= high + 0.005


def test_error_of_the_dichloride_is_two_standard_deviations_of_the_mole_fraction() -> None:
    """x(ee) 0.46(6): G(aa) - G(ee) from -0.30 to +0.06 kcal/mol at 378 K, so the sign is not known."""
    row = equilibrium("richardson_1999_cl2")
    value, error = float(row["value"]), float(row["error"])
    ends = [from_percent(value + step * error, 378.0) for step in (-1, 1)]
    assert ends == pytest.approx([-0.304, 0.060], abs=0.001)
