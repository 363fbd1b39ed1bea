"""Solvents and radii: the shipped rows, finding a solvent, and the exact text for every bad row."""

import pytest

from chairgap.errors import InputError
from chairgap.tables.media import ELEMENTS, parse_born_radii, parse_solvents
from chairgap.tables.shipped import find_medium, read_solvents, read_sources
from literature.csv_rows import rows

SOLVENT_HEAD = "name,names,dielectric,temperature_k,medium_class,source,known,note\n"
RADIUS_HEAD = "element,radius_angstrom,screening,source,known,note\n"
KEYS = {"book"}
LIQUID = "at least 1 (the vacuum), for example 2.02."


def solvent_problems(*rows: str) -> list[str]:
    solvents, problems = parse_solvents(SOLVENT_HEAD + "\n".join(rows), "solvents.csv", source_keys=KEYS)
    assert len(solvents) < len(rows)
    return [str(problem) for problem in problems]


def radius_problems(*rows: str) -> list[str]:
    radii, problems = parse_born_radii(RADIUS_HEAD + "\n".join(rows), "born_radii.csv", source_keys=KEYS)
    assert len(radii) < len(rows)
    return [str(problem) for problem in problems]


# --- what ships --------------------------------------------------------------------------------------------


def test_every_row_names_a_listed_source() -> None:
    shipped = (*read_solvents(), *find_medium("water").born_radii)
    assert len(read_solvents()) == 29
    assert {row.source for row in shipped} <= read_sources().keys()
    for row in shipped:
        if read_sources()[row.source].how_seen.startswith("not seen"):
            assert row.known == "from memory"


def test_solvents_stand_in_order_of_their_polarity() -> None:
    constants = [row.dielectric for row in read_solvents()]
    assert constants == sorted(constants)


def test_classes_are_those_of_the_equilibria_and_what_has_a_hydroxyl_group_is_hydrogen_bonding() -> None:
    """Chloroform counts as apolar: the hydroxyl group has one A-value in it and in tetrachloromethane
    (Abraham 1993). Dichloromethane counts as polar."""
    classes = {solvent.name: solvent.medium_class for solvent in read_solvents()}
    for row in rows("equilibria"):
        if row["medium"] not in ("gas phase", "not stated"):
            assert classes[row["medium"]] == row["medium_class"], row["key"]
    bonding = {name for name, kind in classes.items() if kind == "hydrogen bonding"}
    assert bonding == {"water", "methanol", "ethanol", "2-propanol"}
    assert (classes["chloroform"], classes["dichloromethane"]) == ("apolar", "polar")


def test_every_element_of_the_force_field_has_a_radius() -> None:
    assert tuple(row.element for row in find_medium("water").born_radii) == ELEMENTS


@pytest.mark.parametrize(
    ("asked", "found"),
    [("water", "water"), (" Water ", "water"), ("thf", "tetrahydrofuran"), ("CCl4", "tetrachloromethane")],
)
def test_a_solvent_is_found_by_any_of_its_names(asked: str, found: str) -> None:
    assert find_medium(asked).name == found


def test_every_name_finds_its_own_row() -> None:
    for row in read_solvents():
        for name in (row.name, *row.names):
            found = find_medium(name.upper())
            assert (found.name, found.dielectric) == (row.name, row.dielectric)


def test_an_unknown_solvent_is_reported_with_the_nearest() -> None:
    with pytest.raises(InputError) as caught:
        find_medium("acetonitril")
    assert caught.value.message.startswith(
        "There is no solvent 'acetonitril' in the table. Did you mean 'acetonitrile'? Write one of: pentane, "
    )


# --- bad rows ----------------------------------------------------------------------------------------------


def test_a_good_row_of_each() -> None:
    (solvent,), problems = parse_solvents(
        SOLVENT_HEAD + "brine, salt water ; sea ,70,300,polar,book,compilation,n\n", "s.csv", source_keys=KEYS
    )
    assert (solvent.name, solvent.names, solvent.dielectric) == ("brine", ("salt water", "sea"), 70.0)
    assert solvent.medium_class == "polar"
    assert (solvent.temperature_k, solvent.known, solvent.note, problems) == (300.0, "compilation", "n", [])
    (radius,), problems = parse_born_radii(
        RADIUS_HEAD + "Cl,1.75,0.8,book,from memory,\n", "r.csv", source_keys=KEYS
    )
    assert (radius.element, radius.radius_angstrom, radius.screening, problems) == ("Cl", 1.75, 0.8, [])


def test_a_dielectric_constant_below_1() -> None:
    assert solvent_problems("foam,,0.9,300,polar,book,compilation,") == [
        'solvents.csv, row 2, column dielectric: It cannot be "0.9". Write the relative '
        f"permittivity of the liquid, {LIQUID}"
    ]


@pytest.mark.parametrize("text", ["high", "nan", "inf"])
def test_a_dielectric_constant_that_is_no_number(text: str) -> None:
    assert solvent_problems(f"foam,,{text},300,polar,book,compilation,") == [
        f"solvents.csv, row 2, column dielectric: '{text}' is not a number. Write the relative permittivity "
        f"of the liquid, {LIQUID}"
    ]


def test_empty_cells_and_unknown_sources_are_reported_together() -> None:
    assert solvent_problems(",,,-3,oily,bok,,") == [
        "solvents.csv, row 2, column name: The cell is empty. Write the name of the solvent.",
        "solvents.csv, row 2, column dielectric: The cell is empty. Write the relative permittivity of the "
        f"liquid, {LIQUID}",
        "solvents.csv, row 2, column temperature_k: -3 is no temperature in kelvin (0 degrees Celsius is "
        "273). Write the temperature of the measurement in kelvin, for example 293.2 (20 Celsius).",
        'solvents.csv, row 2, column medium_class: It cannot be "oily". Write '
        "'apolar', 'polar' or 'hydrogen bonding'.",
        "solvents.csv, row 2, column source: Source 'bok' is not in sources.csv. Did you mean 'book'? Add "
        "it there or correct the key.",
        "solvents.csv, row 2, column known: The cell is empty. Write how the value is known: "
        "'primary', 'compilation', 'derived' or 'from memory'.",
    ]


def test_a_name_that_stands_twice_whatever_its_capitals() -> None:
    assert solvent_problems(
        "ether,Et2O,4,300,apolar,book,compilation,", "other,ET2O,5,300,polar,book,compilation,"
    ) == ["solvents.csv, row 3, column names: 'ET2O' is already in row 2 ('ether'). Keep one of them."]


def test_an_unknown_element() -> None:
    listed = "the symbol of an element: H, C, N, O, F, Si, P, S, Cl, Br, I"
    assert radius_problems("Xx,1.7,0.8,book,primary,") == [
        f'born_radii.csv, row 2, column element: It cannot be "Xx". Write {listed}.'
    ]
    assert radius_problems("CL,1.7,0.8,book,primary,") == [
        f"born_radii.csv, row 2, column element: It cannot be \"CL\". Did you mean 'Cl'? Write {listed}."
    ]


@pytest.mark.parametrize("radius", ["-1.7", "0", "170"])
def test_a_radius_that_no_atom_has(radius: str) -> None:
    assert radius_problems(f"C,{radius},0.72,book,primary,") == [
        f'born_radii.csv, row 2, column radius_angstrom: It cannot be "{radius}". Write the radius in '
        "angstrom, above 0 and at most 5, for example 1.70."
    ]


@pytest.mark.parametrize("screening", ["-0.1", "0", "1.2"])
def test_a_screening_factor_outside_0_to_1(screening: str) -> None:
    assert radius_problems(f"C,1.7,{screening},book,primary,") == [
        f'born_radii.csv, row 2, column screening: It cannot be "{screening}". Write the screening '
        "factor, above 0 and at most 1, for example 0.72."
    ]


def test_an_element_that_stands_twice() -> None:
    assert radius_problems("C,1.7,0.72,book,primary,", "C,1.8,0.72,book,primary,") == [
        "born_radii.csv, row 3, column element: 'C' is already in row 2. Keep one of them."
    ]
