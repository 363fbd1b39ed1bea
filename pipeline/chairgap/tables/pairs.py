"""Pair interactions by a quantum method, and how far pairs are off: text to records. Both files are computed,
not typed; see data/README.md."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from chairgap.records import PairInteraction, PairRelation, PairSpread, Separation
from chairgap.tables.rows import Filled, Kelvin, Number, Problems, Reading, Row, filled, read_table

PAIRS_FILE = "pair_interactions.csv"
SPREADS_FILE = "pair_spread.csv"


def _beside(description: str) -> Any:
    """A column for people, which no record has."""
    return Field(description=description, exclude=True)


class _Pair(Row):
    group_1: Filled = Field(description="the group's key in a_values.csv")
    group_2: Filled = Field(description="the group's key in a_values.csv")
    relation: Annotated[PairRelation, BeforeValidator(filled)] = Field(
        description="'geminal', or cis or trans with 1,2, 1,3 or 1,4"
    )
    value_kcal_mol: Number = Field(
        description="what the pair adds to G(group_1 axial) - G(group_1 equatorial), kcal/mol"
    )
    temperature_k: Kelvin = Field(description="the temperature in kelvin")
    method: Filled = Field(description="the method, for example MP2/def2-TZVP")
    method_spread_kcal_mol: Number = Field(
        description="how far the basis set, the method and conformers left out may move it, kcal/mol"
    )
    scs_mp2_kcal_mol: str = _beside("the same by SCS-MP2")
    mmff94_kcal_mol: str = _beside("the same by MMFF94, for these conformers")
    gfn2_xtb_kcal_mol: str = _beside("the same by GFN2-xTB, for these conformers")
    potential_kcal_mol: str = _beside("the same for the lowest conformer of each chair, without temperature")
    rotamers_and_vibrations_kcal_mol: str = _beside("what the other rotamers and the vibrations add")
    left_out_kcal_mol: str = _beside("how much conformers not computed may move it, by cheaper methods")
    gap_kcal_mol: str = _beside("the gap of the ring with both groups, G(chair_b) - G(chair_a)")
    chair_a: str = _beside("chair A")
    chair_b: str = _beside("chair B")
    conformers_a: str = _beside("how many conformers of chair A were taken")
    conformers_b: str = _beside("how many conformers of chair B were taken")
    hydrogen_bonds_a: str = _beside("hydrogen bonds of the best conformer of chair A")
    hydrogen_bonds_b: str = _beside("hydrogen bonds of the best conformer of chair B")
    geometry: str = _beside("where the geometries are from")


class _Spread(Row):
    method: Filled = Field(description="the method of the pairs")
    relation: Annotated[Separation, BeforeValidator(filled)] = Field(
        description="'geminal', '1,2', '1,3' or '1,4'"
    )
    hydrogen_bond: Annotated[bool, BeforeValidator(lambda text: text == "yes")] = Field(
        description="'yes' or 'no'"
    )
    spread_kcal_mol: Number = Field(description="the root mean square deviation in kcal/mol")
    values: Annotated[int, BeforeValidator(int)] = Field(description="over how many published values")


def parse_pairs(text: str, file: str) -> tuple[tuple[PairInteraction, ...], Problems]:
    """Rows in file order and everything wrong with the table."""
    return read_table(_Pair, PairInteraction, text, Reading(file=file, source_keys=()))


def parse_spreads(text: str, file: str) -> tuple[tuple[PairSpread, ...], Problems]:
    """Rows in file order and everything wrong with the table."""
    return read_table(_Spread, PairSpread, text, Reading(file=file, source_keys=()), may_be_empty=True)
