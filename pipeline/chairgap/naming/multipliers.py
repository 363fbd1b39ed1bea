"""Multiplying prefixes (P-14.2 and P-16.3 of the IUPAC recommendations 2013, from memory). Pure."""

SIMPLE_MULTIPLIERS = {
    **{"di": 2, "tri": 3, "tetra": 4, "penta": 5, "hexa": 6, "hepta": 7, "octa": 8, "nona": 9, "deca": 10},
    **{"undeca": 11, "dodeca": 12, "trideca": 13, "tetradeca": 14, "pentadeca": 15, "hexadeca": 16},
    **{"heptadeca": 17, "octadeca": 18, "nonadeca": 19, "icosa": 20, "henicosa": 21, "docosa": 22},
    **{"tricosa": 23, "tetracosa": 24, "pentacosa": 25, "hexacosa": 26, "heptacosa": 27, "octacosa": 28},
    **{"nonacosa": 29, "triaconta": 30, "hentriaconta": 31, "dotriaconta": 32, "tritriaconta": 33},
    **{"tetratriaconta": 34, "pentatriaconta": 35, "hexatriaconta": 36},  # as many on nitrogens of a ring
}
COMPOUND_MULTIPLIERS = {
    **{"bis": 2, "tris": 3},
    **{f"{name}kis": count for name, count in SIMPLE_MULTIPLIERS.items() if count > 3},
}
MULTIPLIERS = SIMPLE_MULTIPLIERS | COMPOUND_MULTIPLIERS
# Endings made of two, 'bis(olate)': a triolate may be three alkoxides or a triol's salt (P-16.3, memory).
ENDINGS_WITH_BIS = ("olate", "thiolate", "aminium")
