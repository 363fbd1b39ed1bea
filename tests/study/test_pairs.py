"""The [[pair]] blocks of a study and its key pairs; what is wrong with them stands in tests/config_bad."""

from pathlib import Path

from chairgap.records import Settings, Study
from chairgap.study.reading import study_from_text
from pair_helpers import declared_pair

HEAD = 'title = "Week 3"\n'
MOLECULE = "[[molecule]]\nname = 'a'\nsmiles = 'CC1CCCCC1'\n"
PAIR = """[[pair]]
groups = ["{one}", "{other}"]
relation = "{relation}"
value_kcal_mol = {value}
uncertainty_kcal_mol = 0.2
source = "lecture 4"
"""


def read(blocks: str, estimate: str = "") -> Study:
    return study_from_text(HEAD + estimate + blocks + MOLECULE, Path("study.toml"))


def pair(one: str, other: str, relation: str, value: float = 0.6) -> str:
    return PAIR.format(one=one, other=other, relation=relation, value=value)


def test_by_default_nothing_is_completed_and_nothing_declared() -> None:
    settings = read("").settings
    assert (settings.pairs, settings.declared_pairs) == (Settings.pairs, ()) == ("published", ())


def test_pairs_are_kept_in_file_order_under_the_names_of_the_table() -> None:
    blocks = (
        pair("hydroxy", "chlorine", "trans-1,2", -0.6) + 'medium = "CCl4"\n' + pair("*CCO", "Me", "cis-1,3")
    )
    settings = read(blocks, '[estimate]\npairs = "completed"\n').settings
    assert settings.pairs == "completed"
    assert settings.declared_pairs == (
        declared_pair(("OH", "Cl"), "trans-1,2", -0.6, 0.2, "tetrachloromethane"),
        declared_pair(("*CCO", "CH3"), "cis-1,3", 0.6, 0.2),
    )


def test_one_pair_in_two_relations_and_equal_groups_that_do_not_change_places() -> None:
    blocks = pair("OH", "Cl", "trans-1,2") + pair("OH", "Cl", "cis-1,2") + pair("Cl", "Cl", "trans-1,4")
    assert len(read(blocks).settings.declared_pairs) == 3
