"""Rings for the tests of names out: drawn at random, and by hand as groups by face."""

import random
from functools import cache

from rdkit import Chem

from chairgap.errors import Place
from chairgap.molecule.build import build_molecules, writing_of
from chairgap.molecule.fragments import canonical, isomers
from chairgap.molecule.glue import glued
from chairgap.molecule.group_lists import read_group_list
from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.molecule.substituents import read_fragment
from chairgap.records import MoleculeRequest
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")
_COMMON = "*C *C *CC *C(C)C *O *O *O *Cl *Br *F *N *OC *C(=O)O *C(=O)OC *OC(C)=O"
# Beyond the table: branched, with centres of their own, acyl groups, amines, esters, silicon and the like.
_MORE = """
*CCC *CCCC *CC(C)C *C(C)CC *CCCCCC *CCl *C(F)F *CO *CCO *C(C)O *C(C)(C)O *CN *CCN *COC *COCC *CC(=O)O
*CC(=O)OC *CC#N *CC=O *CC(C)=O *C(=O)CC *C(=O)C(C)C *C(=O)c1ccccc1 *C(N)=O *C(=O)NC *C(=O)N(C)C
*C(=O)NC(C)C *OC(C)C *OC(C)(C)C *OCCC *OCc1ccccc1 *OC(F)(F)F *OC(=O)CC *OC(=O)C(C)C *OC(=O)c1ccccc1
*OC(=O)c1ccc([N+](=O)[O-])cc1 *OC(=O)C(C)O *OC(N)=O *NC(C)=O *NC(=O)OC(C)(C)C *NCC *N(C)CC *Nc1ccccc1
*NCc1ccccc1 *NC1CCCCC1 *NO *NS(C)(=O)=O *[N+](C)(C)C *SC(C)C *SCC *SC(C)=O *S(=O)(=O)O *S(=O)(=O)N
*S(=O)(=O)NC *Cc1ccccc1 *Cc1ccc(C)cc1 *CCc1ccccc1 *C(C)c1ccccc1 *c1ccc(C)cc1 *c1ccc(O)cc1 *c1cccc(Cl)c1
*c1ccccc1OC *c1ccc(C(=O)O)cc1 *C=CC *CC=C *C(C)=C *C#CC *CC#C *C=Cc1ccccc1 *C1CC1 *C1CCCC1 *CC1CCCCC1
*C1CCC(C)CC1 *C1CCC(O)CC1 *OO *OP(=O)(OC)OC *P(=O)(OC)OC *B(O)O *C(F)Cl *C(Cl)CBr *CSC *CS(C)=O
*CS(C)(=O)=O *OCC(=O)O *OCCOC *CCCC(C)C *C(CC)CC *C(C)C(C)C *CC(C)CC *C(CC)(CC)CC *C(C)(C)CC *[O-]
*C(=O)Br *C(=O)OCc1ccccc1 *C(=O)OCCOC *C(=O)OC(C)CC *C(=O)O[Si](C)(C)C *SSC *N=O *NN *c1ccccn1 *c1ccco1
*C(=O)CO *C(=O)C(F)(F)F *OC(=O)OC *OS(=O)(=O)C(F)(F)F *C(O)C(O)C *C(N)C(=O)O *CC(N)C(=O)O *C(=O)SC
"""


@cache
def pools() -> tuple[tuple[str, ...], ...]:
    """Common groups, those of the table, others, and the last two together."""
    common = tuple(map(read_fragment, _COMMON.split()))
    table = tuple(sorted({read_fragment(row.fragment) for row in TABLE.a_values}))
    more = tuple(map(read_fragment, _MORE.split()))
    return common, table, more, table + more


def random_ring(seed: int) -> RingFaces:
    """One to six groups in one configuration; every third ring has one to three different groups only."""
    chance = random.Random(seed)
    pool = chance.choice(pools())
    if seed % 3 == 0:
        pool = tuple(chance.choices(pool, k=chance.randint(1, 3)))
    sites = [(carbon, side) for carbon in range(6) for side in range(2)]
    placed = {
        site: chance.choice(isomers(chance.choice(pool)))
        for site in chance.sample(sites, chance.randint(1, 6))
    }
    return tuple((placed.get((c, 0), HYDROGEN), placed.get((c, 1), HYDROGEN)) for c in range(6))


def ring_of(groups_by_face: str) -> RingFaces:
    request = MoleculeRequest(name="", place=Place(), substituents=read_group_list(groups_by_face).groups)
    (molecule,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=400)
    return writing_of(molecule.topology)


def smiles_of_ring(faces: RingFaces) -> str:
    return canonical(glued(faces))


def inchi_of_ring(faces: RingFaces) -> str:
    return str(Chem.MolToInchi(Chem.MolFromSmiles(smiles_of_ring(faces))))
