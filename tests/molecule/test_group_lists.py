"""The ways to write a list of groups, typed by hand: each means what the usual form beside it means, and is
written back in that form."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.errors import InputError, MoleculeError
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import FORM, looks_like_groups, read_group_list
from chairgap.molecule.reading import read_smiles
from chairgap.molecule.substituents import read_fragment, resolve_group
from chairgap.naming.reading import parse_name
from chairgap.naming.words import GROUPS
from chairgap.records import Molecule, MoleculeRequest
from molecule.making import PLACE, TABLE, build

# What is typed, and the usual form, in which the output has it.
FORMS = (
    ("1 up CH3, 2 down OH", "1 up CH3, 2 down OH"),
    ("1 up CH\u2083, 4 down C(CH\u2083)\u2083", "1 up CH3, 4 down C(CH3)3"),
    ("1\u2212up\u2212Me", "1 up CH3"),
    ("C1 up methyl", "1 up CH3"),
    ("C-1 up methyl; C-4 down isopropyl", "1 up CH3, 4 down CH(CH3)2"),
    ("carbon 1 up methyl", "1 up CH3"),
    ("1-up-Me", "1 up CH3"),
    ("1-up-Me,2-down-OH", "1 up CH3, 2 down OH"),
    ("Me(1,up)", "1 up CH3"),
    ("Me(1,up), OH(2,down)", "1 up CH3, 2 down OH"),
    ("Me(1,up),OH(2,down)", "1 up CH3, 2 down OH"),
    ("Me ( C1 , up ); OH (2 down)", "1 up CH3, 2 down OH"),
    ("C(CH3)3(1,u), CH(CH3)2(3,d)", "1 up C(CH3)3, 3 down CH(CH3)2"),
    ("1 up methyl", "1 up CH3"),
    ("1 UP METHYL", "1 up CH3"),
    ("1 u CH3, 2 d OH", "1 up CH3, 2 down OH"),
    ("1u Me,2d Br", "1 up CH3, 2 down Br"),
    ("1-u-Me, 3-d-Cl", "1 up CH3, 3 down Cl"),
    ("1up CH3", "1 up CH3"),
    ("1 wedge CH3, 2 dash OH", "1 up CH3, 2 down OH"),
    ("1 wedged CH3, 2 dashed OH, 3 hashed Cl", "1 up CH3, 2 down OH, 3 down Cl"),
    ("Me(1,wedge), Br(3,dash)", "1 up CH3, 3 down Br"),
    ("1 beta CH3, 2 alpha OH", "1 up CH3, 2 down OH"),
    ("1β CH3, 2α OH", "1 up CH3, 2 down OH"),
    ("1β-methyl, 2α-hydroxy", "1 up CH3, 2 down OH"),
    ("1βMe,2αOH", "1 up CH3, 2 down OH"),
    ("Me(1,β), OH(2,α)", "1 up CH3, 2 down OH"),
    ("1α tBu", "1 down C(CH3)3"),
    # (1R,3S)-1-bromo-3-methyl has both groups up; from the other end they are down.
    ("cis-1,3: CH3, Br", "1 down CH3, 3 down Br"),
    ("cis 1,3: methyl, bromo", "1 down CH3, 3 down Br"),
    ("trans-1,2: Cl, Cl", "1 up Cl, 2 down Cl"),
    ("Trans-(1,4): CN,NH2", "1 up CN, 4 down NH2"),
    ("trans-1,3-: OH; Br", "1 up OH, 3 down Br"),
    ("all-cis-1,3,5: OH, OH, OH", "1 up OH, 3 up OH, 5 up OH"),
    # By hand, as the two below: Br > C2 > C4 turn to the left at C3, with which the name begins.
    ("all cis 1,2,3: F, Cl, Br", "1 down F, 2 down Cl, 3 down Br"),
    ("r-1,c-2,t-4: OH, CH3, Br", "1 up OH, 2 up CH3, 4 down Br"),
    ("r-1,1,c-3: CH3, OH, Br", "1 up OH, 1 down CH3, 3 down Br"),
    ("cis-1,1,2,4: Cl, Cl, CH3, Br", "1 up Cl, 1 down Cl, 2 down CH3, 4 down Br"),
    ("1 up 2,2-dimethylpropyl,2 down dimethylamino", "1 up CH2C(CH3)3, 2 down N(CH3)2"),
    ("cis-1,3: dimethylamino,2,2-dimethylpropyl", "1 up N(CH3)2, 3 up CH2C(CH3)3"),
    ("1 up propan-2-yl, 2 down isobutyl", "1 up CH(CH3)2, 2 down *CC(C)C"),
    ("2 up cyclopropyl", "2 up *C1CC1"),
    ("1 up 1-hydroxy-1-methylethyl", "1 up *C(C)(C)O"),
)
TWO_WAYS = "The list says faces in 2 ways, by "
NOT_READ = (
    ("1 up alpha Me", "'1 up alpha Me' says the face twice, 'up' and 'alpha'; keep one of the two."),
    ("1 up Me(1,down)", "'1 up Me(1,down)' says the face twice, 'up' and 'down'; keep one of the two."),
    (
        "1 up CH3, 2 beta OH",
        f"{TWO_WAYS}up and down ('1 up CH3') and by alpha and beta ('2 beta OH'); understood as "
        "'1 up CH3, 2 up OH', with carbons 1 to 6 clockwise. If that is right, write it so.",
    ),
    (
        "1 d Me, OH(2,dash)",
        f"{TWO_WAYS}wedge and dash ('OH(2,dash)') and by up and down ('1 d Me'); understood as "
        "'1 down Me, 2 down OH', with carbons 1 to 6 clockwise. If that is right, write it so.",
    ),
    (
        "cis-1,3: 1 up CH3, Br",
        "The list says faces twice, by 'cis-1,3' and by '1 up CH3'; keep one of the two ways.",
    ),
    (
        "1 up CH3, cis-2,3: Cl, Br",
        "The list says faces twice, by a face for each carbon and by 'cis-2,3:'; keep one of the two ways.",
    ),
    (
        "trans-1,2,3: Cl, Cl, Br",
        "'trans-1,2,3: Cl, Cl, Br' cannot be used: 'trans' compares two groups, and there are 3 (at carbons "
        f"1, 2, 3); write r-1,c-2,t-3: with the groups behind, or {FORM}.",
    ),
    (
        "cis-1,2,4: Cl, Cl, Br",
        "'cis-1,2,4: Cl, Cl, Br' cannot be used: 'cis' compares two groups, and there are 3 (at carbons "
        f"1, 2, 4); write r-1,c-2,t-3: with the groups behind, or {FORM}.",
    ),
    (
        "cis-1,1,3: CH3, Br, OH",
        "'cis-1,1,3: CH3, Br, OH' cannot be used: carbon 1 has two groups, and 'cis' does not say which it "
        f"means; write r-1,c-2,t-3: with the groups behind, or {FORM}.",
    ),
    (
        "cis-1,3: CH3, H",
        "'cis-1,3: CH3, H' cannot be used: 'cis' compares two groups, and only one carbon has two different "
        "faces; leave it out.",
    ),
    (
        "r-1,2: Cl, Cl",
        "'r-1,2: Cl, Cl' cannot be used: r, c and t are given, but not for carbon 2; write one there.",
    ),
    (
        "cis-1,3: CH3",
        "'cis-1,3' has 2 carbons, and the number of groups behind it is 1; write a group for each carbon, "
        "and a carbon twice where it has two.",
    ),
    (
        "1,2: Cl, Cl",
        "'1,2: Cl, Cl' says no face; write 'cis-1,3: CH3, Br': cis, trans or all-cis, the carbons, a colon, "
        f"a group for each carbon, or {FORM}.",
    ),
    (
        "cis-1,3 CH3, Br",
        "'cis-1,3 CH3, Br' begins with 'cis' and does not read 'cis-1,3: CH3, Br': cis, trans or all-cis, "
        "the carbons, a colon, a group for each carbon; correct it.",
    ),
    ("Me(1,up) OH(2,down)", f"'Me(1,up) OH(2,down)' holds two groups without a comma; write {FORM}."),
    (
        "1 eq Me",
        "'1 eq Me' says axial or equatorial, which a ring flip exchanges, and no face; write up or down: "
        f"{FORM}.",
    ),
    ("Me(up)", f"'Me(up)' does not read {FORM}; correct this piece."),
)


def built(text: str) -> Molecule:
    listed = read_group_list(text)
    request = MoleculeRequest(
        name="m", place=PLACE, substituents=listed.groups, mirror_too=listed.relative, notes=listed.notes
    )
    (molecule,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    return molecule


@pytest.mark.parametrize(("typed", "usual"), FORMS)
def test_every_form_is_the_usual_one(typed: str, usual: str) -> None:
    molecule = built(typed)
    assert molecule.groups_by_face == usual
    assert molecule.rdkit_binary == built(usual).rdkit_binary
    assert looks_like_groups(typed)


@pytest.mark.parametrize(("typed", "message"), NOT_READ)
def test_what_is_not_read_says_what_was_understood(typed: str, message: str) -> None:
    with pytest.raises(InputError) as caught:
        read_group_list(typed)
    assert caught.value.message == message


def test_conventions_are_said() -> None:
    assert built("1 up CH3").notes == built("1 u CH3").notes == ()
    assert built("1β CH3").notes == (
        "beta was read as up and alpha as down (common practice), with carbons 1 to 6 clockwise seen from "
        "above",
    )
    assert built("1 dash CH3").notes == (
        "wedge was read as up and dash as down, the ring drawn flat with carbons 1 to 6 clockwise",
    )


def test_a_relation_stands_for_both_mirror_images_where_there_are_two() -> None:
    both = ("entered once for itself and its mirror image, which have the same gap",)
    assert built("trans-1,2: Cl, Cl").notes == built("cis-1,3: CH3, Br").notes == both
    assert built("cis-1,2: Cl, Cl").notes == built("trans-1,4: CH3, Br").notes == ()


def test_commas_of_names_part_no_groups() -> None:
    names = ["N,N-dimethylamino", "2,2-dimethylpropyl", "CN", "NH2"]
    for text in (
        "1 up {},2 up {},3 up {},4 up {}",
        "{}(1,up),{}(2,up),{}(3,up),{}(4,up)",
        "all-cis-1,2,3,4: {},{},{},{}",
    ):
        groups = read_group_list(text.format(*names)).groups
        assert [(group.carbon, group.group) for group in groups] == list(enumerate(names, start=1))


# Name and list say the same; structures of the names by hand stand in tests/naming.
NAMES = (
    ("cis-1,3: Br, CH3", "cis-1-bromo-3-methylcyclohexane"),
    ("trans-1,4: OH, tBu", "trans-4-tert-butylcyclohexanol"),
    ("trans-1,2: Cl, Cl", "trans-1,2-dichlorocyclohexane"),
    ("all-cis-1,3,5: CH3, CH3, CH3", "all-cis-1,3,5-trimethylcyclohexane"),
    ("r-1,c-2,t-4: CO2H, CH3, Br", "r-1-carboxy-c-2-methyl-t-4-bromocyclohexane"),
    ("cis-1,2,2,4: OH,Cl,Cl,F", "cis-2,2-dichloro-4-fluorocyclohexanol"),
)


@pytest.mark.parametrize(("typed", "name"), NAMES)
def test_lists_and_names_agree(typed: str, name: str) -> None:
    parsed = parse_name(name)
    mirror = {group: "down" if group == "up" else "up" for group in ("up", "down")}
    listed = read_group_list(typed)
    exchanged = ", ".join(f"{g.carbon} {mirror[g.face]} {g.group}" for g in listed.groups)
    hands = {built(typed).inchi, built(exchanged).inchi}
    assert parsed.relative or len(hands) == 1
    assert build(smiles=parsed.numbered_smiles).inchi in hands


@pytest.mark.parametrize(
    "text",
    [
        *("CC1CCCCC1", "C[C@H]1CCCC[C@@H]1O", "CC1CCCCC1 |$up;down;;;;;$|", "I", "", "C1CCCCC1"),
        *("menthol", "(1R,2S,5R)-menthol", "2-isopropyl-5-methylcyclohexanol", "cyclohexyl acetate"),
        *(
            "(1α,2β)-2-bromo-1-methylcyclohexane",
            "cis-1,3-dimethylcyclohexane",
            "r-1,c-2-dimethylcyclohexane",
        ),
    ],
)
def test_names_and_smiles_are_no_lists(text: str) -> None:
    assert not looks_like_groups(text)


# --- words for groups ------------------------------------------------------------------------------------

ON_A_RING = [word for word in GROUPS if not word.needs and not word.smiles.startswith("*=")]


def test_the_words_are_those_of_names() -> None:
    """Every word for a group that stands alone means the structure beside it in the vocabulary."""
    assert len(ON_A_RING) > 100
    for word in ON_A_RING:
        bare = re.sub(r"\[([CNOS]):\d+\]", r"\1", word.smiles)
        bare = re.sub(r"\[c:\d+\]", "c", bare)
        bare = re.sub(r"(H\d?\+?):\d+\]", r"\1]", bare)
        heavy = {"*[Se:1]": "*[SeH]", "*[Si:1]": "*[SiH3]", "*[Ge:1]": "*[GeH3]", "*[B:1]": "*B"}
        fragment = read_fragment(heavy.get(word.smiles, bare).replace("[P:1]", "P"))
        assert resolve_group(word.name, TABLE) == fragment, word.name


@pytest.mark.parametrize(
    "word",
    [
        *(
            "methyl)-2-(ethyl",
            "2-methyl",
            "dimethyl",
            "1,2-dimethyl",
            "methylcyclohexane",
            "oxo",
            "oxy",
            "methil",
        ),
        *(
            "tert butyl x",
            "carboxylic acid",
            "methyl)cyclohexane-1-(ethyl",
            "menthol",
            "cis-methyl",
            "cyclohexan",
        ),
    ],
)
def test_what_is_no_word_for_one_group_is_refused(word: str) -> None:
    with pytest.raises(MoleculeError, match="is not in table"):
        resolve_group(word, TABLE)


@pytest.mark.parametrize("word", ["(1R)-1-hydroxyethyl", "(E)-prop-1-en-1-yl", "(S)-sec-butyl"])
def test_letters_of_a_group_are_refused(word: str) -> None:
    """They may belong to the other hand on another ring."""
    try:
        resolve_group(word, TABLE)
    except MoleculeError as error:
        assert "depend on the rest of the molecule" in error.message or "is not in table" in error.message
    else:
        raise AssertionError(word)


def test_a_word_of_cis_and_trans_keeps_its_marks() -> None:
    fragment = resolve_group("trans-4-methylcyclohexyl", TABLE)
    assert fragment == read_fragment("*[C@H]1CC[C@H](C)CC1")
    assert read_smiles(fragment.replace("*", "C")).mol.GetNumAtoms() == 24


# --- all forms of one molecule ---------------------------------------------------------------------------

PLACES = st.lists(
    st.tuples(st.integers(1, 6), st.booleans()), min_size=1, max_size=6, unique_by=lambda place: place
)
SPOKEN = (
    "CH3",
    "OH",
    "isopropyl",
    "tert-butyl",
    "2,2-dimethylpropyl",
    "N(CH3)2",
    "C(CH3)3",
    "*CCO",
    "Br",
    "CN",
)
WAYS = (
    ("{carbon} {face} {group}", ("up", "down")),
    ("C{carbon} {face} {group}", ("UP", "Down")),
    ("{carbon}-{face}-{group}", ("u", "d")),
    ("{carbon}{face} {group}", ("u", "d")),
    ("{group}({carbon},{face})", ("up", "down")),
    ("{group} ( {carbon} {face} )", ("β", "α")),
    ("{carbon}{face}-{group}", ("β", "α")),
    ("{carbon} {face} {group}", ("beta", "alpha")),
    ("C-{carbon} {face} {group}", ("wedge", "dash")),
)


@settings(max_examples=150, deadline=None)
@given(
    PLACES, st.lists(st.sampled_from(SPOKEN), min_size=6, max_size=6), st.sampled_from((", ", ",", "; ", ";"))
)
def test_all_ways_say_one_thing(places: list[tuple[int, bool]], groups: list[str], separator: str) -> None:
    usual = read_group_list(
        ", ".join(
            f"{carbon} {'up' if up else 'down'} {group}"
            for (carbon, up), group in zip(places, groups, strict=False)
        )
    )
    assert [(group.carbon, group.face == "up") for group in usual.groups] == places
    assert [group.group for group in usual.groups] == groups[: len(places)]
    for form, faces in WAYS:
        text = separator.join(
            form.format(carbon=carbon, face=faces[not up], group=group)
            for (carbon, up), group in zip(places, groups, strict=False)
        )
        assert read_group_list(text).groups == usual.groups, text
        assert looks_like_groups(text)


@settings(max_examples=80, deadline=None)
@given(st.permutations(range(1, 7)), st.lists(st.sampled_from(SPOKEN), min_size=6, max_size=6), st.data())
def test_relations_say_what_faces_say(carbons: list[int], groups: list[str], data: st.DataObject) -> None:
    count = data.draw(st.integers(2, 6))
    marks = data.draw(st.lists(st.sampled_from("ct"), min_size=count - 1, max_size=count - 1))
    head = ",".join(f"{mark}-{carbon}" for mark, carbon in zip(["r", *marks], carbons, strict=False))
    listed = ", ".join(groups[:count])
    read = read_group_list(f"{head}: {listed}").groups
    assert [group.face for group in read] == ["up", *("up" if mark == "c" else "down" for mark in marks)]
    assert [group.carbon for group in read] == carbons[:count]
    locants = ",".join(map(str, carbons[:count]))
    together = read_group_list(f"all-cis-{locants}: {listed}").groups
    assert {group.face for group in together} == {"up"}
    if count == 2:
        assert read_group_list(f"{'cis' if marks == ['c'] else 'trans'}-{locants}: {listed}").groups == read
