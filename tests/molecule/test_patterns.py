"""Every arrangement once: against Burnside, RDKit's canonical SMILES as the judge, and published numbers."""

import tracemalloc
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations, islice, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem

from chairgap.errors import Place
from chairgap.molecule import fragments
from chairgap.molecule.build import build_molecules
from chairgap.molecule.numbering import HYDROGEN, RingFaces, identity, mirrored
from chairgap.molecule.patterns import (
    CARBONS,
    Arrangement,
    Choice,
    MirrorImages,
    arrangements,
    counts_by_carbons,
)
from chairgap.molecule.substituents import resolve_group, row_names, sort_name
from chairgap.records import GroupOnCarbon, Molecule, MoleculeRequest
from molecule.making import TABLE, build, build_every

BOTH_WAYS: tuple[MirrorImages, MirrorImages] = ("once", "both")
SEC_BUTYL = "*C(C)CC"


def choices(*groups: str) -> tuple[Choice, ...]:
    """The groups with all their stereoisomers, as a study takes them."""
    return tuple(
        Choice(
            name=row_names(TABLE).get(fragment, fragment),
            fragment=fragment,
            mirror=fragments.mirror(fragment),
            sort_name=sort_name(fragment, TABLE),
        )
        for group in groups
        for fragment in fragments.isomers(resolve_group(group, TABLE))
    )


def listed(found: Sequence[Choice], *carbons: int, mirror_images: MirrorImages = "once") -> list[Arrangement]:
    return list(arrangements(found, carbons, mirror_images=mirror_images))


def groups_by_face(arrangement: Arrangement) -> str:
    return ", ".join(f"{put.carbon} {put.face} {put.group}" for put in arrangement.groups)


def built(arrangement: Arrangement, pattern: str | None = None) -> Molecule:
    asked = MoleculeRequest(
        name="m",
        place=Place(),
        substituents=arrangement.groups,
        mirror_too=arrangement.mirror_too,
        pattern=pattern,
    )
    (molecule,) = build_molecules(asked, TABLE, force_field="MMFF94", atom_limit=100)
    return molecule


# --- Burnside --------------------------------------------------------------------------------------------

SETS = {
    "one": ("OH",),
    "two": ("CH3", "OH"),
    "three": ("CH3", "OH", "Cl"),
    "chiral": (SEC_BUTYL,),
    "chiral and not": ("CH3", SEC_BUTYL),
    "one hand": ("*[C@H](C)CC", "F"),
    "one hand and a pair": ("*[C@H](O)CC", SEC_BUTYL),
    "cis and trans": ("*C=CC", "F"),
    "two chiral": ("S(O)CH3", SEC_BUTYL),
    "two centres": ("*C(O)C(O)C", "F"),
}


@pytest.mark.parametrize("mirror_images", BOTH_WAYS)
@pytest.mark.parametrize("groups", SETS.values(), ids=SETS)
def test_as_many_are_listed_as_burnside_counts(groups: tuple[str, ...], mirror_images: MirrorImages) -> None:
    found = choices(*groups)
    counts = counts_by_carbons(found, mirror_images=mirror_images)
    assert counts[0] == 1
    for carbons in CARBONS if len(found) < 5 else CARBONS[:4]:
        number = sum(1 for _ in arrangements(found, [carbons], mirror_images=mirror_images))
        assert number == counts[carbons] > 0, carbons


def test_twenty_groups_on_up_to_three_carbons() -> None:
    found = choices(*(row.group for row in TABLE.a_values[:20]))
    assert len(found) == 20
    for mirror_images in BOTH_WAYS:
        counts = counts_by_carbons(found, mirror_images=mirror_images)[1:4]
        number = sum(1 for _ in arrangements(found, (1, 2, 3), mirror_images=mirror_images))
        assert number == sum(counts) > 50_000


# --- any set of choices, judged by the twelve writings ---------------------------------------------------


@st.composite
def any_choices(draw: st.DrawFn) -> tuple[Choice, ...]:
    """Up to four made-up groups: plain ones, pairs of mirror images, single hands; names may coincide, and
    those of mirror images may differ, as with a table that names one hand only."""
    name = st.sampled_from(("b", "B", "a", "c"))
    made: list[Choice] = []
    for number in range(draw(st.integers(1, 3))):
        plain = Choice(name=f"n{number}", fragment=f"f{number}", mirror=f"f{number}", sort_name=draw(name))
        kind = draw(st.sampled_from(("plain", "pair", "hand")))
        if kind == "plain":
            made.append(plain)
            continue
        right, left = f"{draw(st.sampled_from('xy'))}r{number}", f"{draw(st.sampled_from('xy'))}l{number}"
        made.append(replace(plain, name=right, fragment=right, mirror=left))
        if kind == "pair" and len(made) < 4:
            made.append(replace(plain, name=left, fragment=left, mirror=right, sort_name=draw(name)))
    return tuple(draw(st.permutations(made)))


def faces_of(groups: Iterable[tuple[int, str, str]]) -> RingFaces:
    """The ring that carries (locant, face, fragment)."""
    placed = {(locant, face): fragment for locant, face, fragment in groups}
    return tuple(
        (placed.get((locant, "up"), HYDROGEN), placed.get((locant, "down"), HYDROGEN)) for locant in CARBONS
    )


@settings(max_examples=40, derandomize=True, deadline=None)
@given(found=any_choices(), carbons=st.integers(1, 4), mirror_images=st.sampled_from(BOTH_WAYS))
def test_listing_is_that_of_a_set_of_all_seen(
    found: tuple[Choice, ...], carbons: int, mirror_images: MirrorImages
) -> None:
    """Every writing there is, reduced by `numbering.identity`, against what is listed without any set."""
    by_fragment = {choice.fragment: choice for choice in found}
    opposite = {choice.fragment: choice.mirror for choice in found} | {HYDROGEN: HYDROGEN}

    def families(faces: RingFaces) -> frozenset[RingFaces]:
        own = identity(faces)
        if mirror_images == "both" or not all(opposite[f] in opposite for pair in faces for f in pair):
            return frozenset([own])
        return frozenset([own, identity(mirrored(faces, opposite.__getitem__))])

    every = {
        families(faces_of(zip(locants, sides, filling, strict=True)))
        for locants in combinations(CARBONS, carbons)
        for filling in product(by_fragment, repeat=carbons)
        for sides in product(("up", "down"), repeat=carbons)
    }
    fragment = {choice.name: choice.fragment for choice in found}
    seen = []
    for arrangement in arrangements(found, [carbons], mirror_images=mirror_images):
        family = families(faces_of((put.carbon, put.face, fragment[put.group]) for put in arrangement.groups))
        assert arrangement.mirror_too == (len(family) == 2)
        seen.append(family)
    assert len(seen) == len(set(seen)) == counts_by_carbons(found, mirror_images=mirror_images)[carbons]
    assert set(seen) == every


# --- RDKit's canonical SMILES as the judge -----------------------------------------------------------------

# What is written behind a ring carbon, by hand, for each group that a pattern is given.
WRITTEN = {
    "CH3": ["C"],
    "OH": ["O"],
    "F": ["F"],
    SEC_BUTYL: ["[C@H](C)CC", "[C@@H](C)CC"],
    "*C=CC": ["/C=C/C", "/C=C\\C"],
}
SMALL = [
    (("CH3",), 1),
    (("CH3", "OH"), 2),
    (("CH3", "OH"), 3),
    ((SEC_BUTYL,), 1),
    ((SEC_BUTYL,), 2),
    ((SEC_BUTYL, "F"), 2),
    ((SEC_BUTYL,), 3),
    (("*C=CC", "F"), 2),
    (("OH",), 4),
    (("OH",), 5),
    (("OH",), 6),
]


def canonical(mol: Chem.Mol) -> str:
    """RDKit's text; read again once, as marks that mean nothing are wiped on reading."""
    return Chem.MolToSmiles(Chem.MolFromSmiles(Chem.MolToSmiles(mol)))


def rdkit_mirror(smiles: str) -> str:
    mol = Chem.MolFromSmiles(smiles)
    for atom in mol.GetAtoms():
        atom.InvertChirality()
    return canonical(mol)


def every_smiles(groups: Sequence[str], carbons: int) -> set[str]:
    """Every assignment of groups to positions, written by hand and judged by RDKit alone.

    At each carbon the order previous, upper, lower, next carbon is marked '@'. On C6 the ring closure (next)
    comes before the upper and lower group, which is an even exchange.
    """
    written = [text for group in groups for text in WRITTEN[group]]
    found = set()
    for locants in combinations(range(6), carbons):
        for filling in product(written, repeat=carbons):
            for sides in product((0, 1), repeat=carbons):
                pairs = [["[H]", "[H]"] for _ in range(6)]
                for locant, text, side in zip(locants, filling, sides, strict=True):
                    pairs[locant][side] = text
                ring = [f"[C@]{'1' if n in (0, 5) else ''}({up})({low})" for n, (up, low) in enumerate(pairs)]
                found.add(canonical(Chem.MolFromSmiles("".join(ring))))
    return found


@pytest.mark.parametrize(("groups", "carbons"), SMALL)
def test_rdkit_finds_the_same_molecules_by_brute_force(groups: tuple[str, ...], carbons: int) -> None:
    every = every_smiles(groups, carbons)
    both = listed(choices(*groups), carbons, mirror_images="both")
    smiles = [canonical(Chem.MolFromSmiles(built(arrangement).smiles)) for arrangement in both]
    assert len(set(smiles)) == len(smiles)
    assert set(smiles) == every

    once = listed(choices(*groups), carbons, mirror_images="once")
    pairs = [frozenset((text, rdkit_mirror(text))) for text in (built(it).smiles for it in once)]
    assert len(set(pairs)) == len(pairs)
    assert set(pairs) == {frozenset((text, rdkit_mirror(text))) for text in every}
    assert [it.mirror_too for it in once] == [len(pair) == 2 for pair in pairs]


def test_one_hand_alone_has_no_mirror_image_to_be_taken_once() -> None:
    found = choices("*[C@H](C)CC")
    once, both = (listed(found, 2, mirror_images=mirror_images) for mirror_images in BOTH_WAYS)
    assert [groups_by_face(it) for it in once] == [groups_by_face(it) for it in both]
    assert not any(it.mirror_too for it in once)
    smiles = [built(it).smiles for it in once]
    assert not {rdkit_mirror(text) for text in smiles} & set(smiles)


@pytest.mark.long
def test_a_molecule_with_two_rings_counts_for_each() -> None:
    """4-Methyl-1,1'-bicyclohexyl, methyl on the ring looked at or on the group: one SMILES, two questions."""
    found = choices("CH3", "C6H11", "*[C@H]1CC[C@H](C)CC1")
    by_name = {groups_by_face(it): built(it).smiles for it in listed(found, 1, 2)}
    on_ring = "1 up C6H11, 4 down CH3"
    (on_group,) = (name for name, text in by_name.items() if text == by_name[on_ring] and name != on_ring)
    assert "," not in on_group


# --- names ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("groups", "carbons"),
    [
        (("OH", "CH(CH3)2", "CH3"), 2),
        pytest.param(("OH", "CH3"), 3, marks=pytest.mark.long),
        ((SEC_BUTYL, "F"), 2),
        (("S(O)CH3", "F"), 2),
        pytest.param((SEC_BUTYL,), 3, marks=pytest.mark.long),
    ],
)
def test_molecules_are_written_as_those_of_a_smiles(groups: tuple[str, ...], carbons: int) -> None:
    for arrangement in listed(choices(*groups), carbons, mirror_images="both"):
        molecule = built(arrangement, pattern="")
        assert build(smiles=molecule.smiles).groups_by_face == molecule.groups_by_face == molecule.name
    once = [built(arrangement, pattern="") for arrangement in listed(choices(*groups), carbons)]
    flat = {Chem.MolToSmiles(Chem.MolFromSmiles(one.smiles), isomericSmiles=False) for one in once}
    from_open = {molecule.groups_by_face for smiles in flat for molecule in build_every(smiles)}
    assert from_open == {one.name for one in once}


# --- published numbers -------------------------------------------------------------------------------------

PUBLISHED = [
    # group, carbons, molecules with mirror images once, and both
    # Nine inositols, two of them the chiro pair: IUPAC-IUB, Nomenclature of Cyclitols, Pure Appl. Chem. 1974,
    # 37, 283 (from memory).
    ("OH", 6, 8, 9),
    # Sixteen cyclohexanepentols (quercitols): four meso forms and six pairs (from memory; the source is
    # believed to be G. E. McCasland, Adv. Carbohydr. Chem. 1965, 20, 11).
    ("OH", 5, 10, 16),
    # 1,2,3,4,5,6-Hexachlorocyclohexane: eight forms, alpha to theta, alpha alone a pair (common practice).
    ("Cl", 6, 8, 9),
    # Dimethylcyclohexanes but the 1,1: cis and trans of each; trans-1,2 and trans-1,3 are pairs (common
    # practice).
    ("CH3", 2, 6, 8),
    # Trimethylcyclohexanes on three carbons: 1,2,3: two meso forms and a pair; 1,2,4: four pairs; 1,3,5: two
    # meso forms (common practice).
    ("CH3", 3, 9, 14),
    ("CH3", 1, 1, 1),
]


@pytest.mark.parametrize(("group", "carbons", "once", "both"), PUBLISHED)
def test_published_numbers_of_stereoisomers(group: str, carbons: int, once: int, both: int) -> None:
    found = choices(group)
    numbers = [len(listed(found, carbons, mirror_images=mirror_images)) for mirror_images in BOTH_WAYS]
    assert numbers == [once, both]
    counts = [counts_by_carbons(found, mirror_images=mirror_images)[carbons] for mirror_images in BOTH_WAYS]
    assert counts == [once, both]


@pytest.mark.parametrize(
    ("locants", "once", "both"),
    [((1, 2), 2, 3), ((1, 3), 2, 3), ((1, 4), 2, 2), ((1, 2, 3), 3, 4), ((1, 2, 4), 4, 8), ((1, 3, 5), 2, 2)],
)
def test_methyl_patterns_one_by_one(locants: tuple[int, ...], once: int, both: int) -> None:
    """The same dimethyl- and trimethylcyclohexanes, each position pattern by itself (common practice)."""
    for mirror_images, expected in zip(BOTH_WAYS, (once, both), strict=True):
        every = listed(choices("CH3"), 2, 3, mirror_images=mirror_images)
        assert sum(tuple(put.carbon for put in it.groups) == locants for it in every) == expected


def test_menthols_among_three_groups_on_three_carbons() -> None:
    """Eight stereoisomers of 2-isopropyl-5-methylcyclohexanol, four pairs: menthol, isomenthol, neomenthol
    and neoisomenthol (common practice)."""
    found = choices("CH3", "OH", "CH(CH3)2")
    flat = Chem.CanonSmiles("CC(C)C1CCC(C)CC1O")
    for mirror_images, expected in (("once", 4), ("both", 8)):
        every = listed(found, 3, mirror_images=mirror_images)
        smiles = [built(it).smiles for it in every if len({put.group for put in it.groups}) == 3]
        plain = [Chem.MolToSmiles(Chem.MolFromSmiles(text), isomericSmiles=False) for text in smiles]
        assert plain.count(flat) == expected


# --- order and memory --------------------------------------------------------------------------------------


def test_order_is_carbons_locants_groups_faces() -> None:
    names = [groups_by_face(it) for it in listed(choices("OH", "CH3"), 2, 1)]
    assert names == [
        "1 up CH3",
        "1 up OH",
        "1 up CH3, 2 up CH3",
        "1 up CH3, 2 down CH3",
        "1 up CH3, 2 up OH",
        "1 up CH3, 2 down OH",
        "1 up OH, 2 up OH",
        "1 up OH, 2 down OH",
        "1 up CH3, 3 up CH3",
        "1 up CH3, 3 down CH3",
        "1 up CH3, 3 up OH",
        "1 up CH3, 3 down OH",
        "1 up OH, 3 up OH",
        "1 up OH, 3 down OH",
        "1 up CH3, 4 up CH3",
        "1 up CH3, 4 down CH3",
        "1 up CH3, 4 up OH",
        "1 up CH3, 4 down OH",
        "1 up OH, 4 up OH",
        "1 up OH, 4 down OH",
    ]


def test_order_does_not_depend_on_that_of_the_groups_or_carbons() -> None:
    forth = listed(choices("CH3", SEC_BUTYL, "F"), 1, 2, 3)
    back = listed(choices("F", SEC_BUTYL, "CH3")[::-1], 3, 1, 2, 1)
    assert forth == back


def test_listing_is_lazy_and_its_memory_does_not_grow() -> None:
    """Twenty groups on six carbons are 170 million molecules. Bytes, not seconds."""
    found = choices(*(row.group for row in TABLE.a_values[:20]))
    assert counts_by_carbons(found, mirror_images="once")[6] > 10**8

    def peak_bytes(number: int) -> int:
        stream = arrangements(found, [6], mirror_images="once")
        tracemalloc.start()
        assert sum(1 for _ in islice(stream, number)) == number
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak

    few, many = peak_bytes(1_000), peak_bytes(20_000)
    # 20,000 arrangements kept would be more than 2 MB.
    assert many < few + 200_000


def test_groups_are_shared_between_arrangements() -> None:
    every = [put for it in listed(choices("CH3", "OH"), 1, 2, 3) for put in it.groups]
    assert all(isinstance(put, GroupOnCarbon) for put in every)
    assert len({id(put) for put in every}) < len(every) / 2
