"""Physical constants and unit conversions; the only place where their numbers stand.

CODATA values are exact since the 2019 SI revision (BIPM, The International System of Units, 9th edition,
2019); the thermochemical calorie is 4.184 J by definition.
"""

import math

J_PER_CAL = 4.184
AVOGADRO_PER_MOL = 6.02214076e23
BOLTZMANN_J_PER_K = 1.380649e-23
PLANCK_J_S = 6.62607015e-34
SPEED_OF_LIGHT_CM_PER_S = 2.99792458e10
GAS_CONSTANT_KCAL_PER_MOL_K = BOLTZMANN_J_PER_K * AVOGADRO_PER_MOL / (1000.0 * J_PER_CAL)

# Unified atomic mass unit, CODATA 2018 (Tiesinga et al., Rev. Mod. Phys. 2021, 93, 025010).
ATOMIC_MASS_KG = 1.66053906660e-27

# Atomic units of length and energy, CODATA 2018 (the same article).
BOHR_ANGSTROM = 0.529177210903
HARTREE_J = 4.3597447222071e-18
HARTREE_KCAL_MOL = HARTREE_J * AVOGADRO_PER_MOL / (1000.0 * J_PER_CAL)

# Energy of one wavenumber, h c N_A, and the factor from sqrt(kcal/mol/A^2/u) to wavenumbers.
KCAL_MOL_PER_CM1 = PLANCK_J_S * SPEED_OF_LIGHT_CM_PER_S * AVOGADRO_PER_MOL / (1000.0 * J_PER_CAL)
CM1_PER_ROOT_FORCE_CONSTANT = math.sqrt(1000.0 * J_PER_CAL / AVOGADRO_PER_MOL * 1e20 / ATOMIC_MASS_KG) / (
    2.0 * math.pi * SPEED_OF_LIGHT_CM_PER_S
)

# One elementary charge times one angstrom in debye (1 D = 1e-21 / c C m, c in m/s).
ELEMENTARY_CHARGE_C = 1.602176634e-19
DEBYE_PER_E_ANGSTROM = ELEMENTARY_CHARGE_C * 1e-10 * SPEED_OF_LIGHT_CM_PER_S / 100.0 * 1e21

ANGSTROM_PER_NM = 10.0
KJ_PER_KCAL = J_PER_CAL
STANDARD_TEMPERATURE_K = 298.15


def kj_from_kcal(energy_kcal_mol: float) -> float:
    """Energy in kJ/mol from kcal/mol (1 kcal = 4.184 kJ, exact)."""
    return energy_kcal_mol * KJ_PER_KCAL


# An energy between groups beyond this is taken for another unit.
LARGEST_ENERGY_KCAL_MOL = 10.0

# So many decimals beyond the last one shown, a number is taken for the half that a decimal hides in binary.
_TIE_DECIMALS = 7


def fixed(value: float | None, decimals: int) -> str:
    """A number with fixed decimals, an exact half away from zero (0.25 becomes '0.3', 0.95 '1.0', whatever
    binary makes of them); never '-0.00'. Without a number ''."""
    if value is None:
        return ""
    text = f"{value + math.copysign(10.0 ** -(decimals + _TIE_DECIMALS), value):.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def signed(value: float | None, decimals: int = 2) -> str:
    """A number with its sign always written, and no sign on zero. Without a number 'none'."""
    if value is None:
        return "none"
    text = fixed(value, decimals)
    return f"+{text}" if float(text) > 0.0 else text
