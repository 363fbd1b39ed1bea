/* The terms of one molecule, and what this library offers of them. */

#ifndef CHAIRGAP_MMFF_H
#define CHAIRGAP_MMFF_H

#include <stdint.h>

/* Every list of terms: atoms (count, width) and constants (count, columns), in the order of mmff_terms.py. */
typedef struct {
    int64_t count;
    const int64_t *atoms;
    const double *constants;
} List;

typedef struct {
    int64_t atoms;
    List stretches;     /* i j;      k, length */
    List bends;         /* i j k;    k, angle in degrees */
    List linear_bends;  /* i j k;    k */
    List stretch_bends; /* i j k;    k1, k2, length1, length2, angle in degrees */
    List out_of_planes; /* i j k l;  k */
    List torsions;      /* i j k l;  V1, V2, V3 */
    List pairs;         /* i j;      radius, well, product of charges */
} Terms;

/* Energy (kcal/mol) at x (n, 3); gradient (3n) and, unless NULL, second (3n, 3n) are filled: with `model` a
positive semidefinite model of the second derivatives in their place. */
double mmff_evaluate(const Terms *terms, const double *x, double *gradient, double *second, int model);

/* Known minima, `rows` of them: dihedrals along `chains` chains of four atoms as cosines and sines (rows, chains, 2),
and energies (rows). A way downhill is in the basin of one where it lies at most `above` (kcal/mol) above it, no
dihedral differs by more than `within` (radians), and its next step, taken whole, brings the largest difference down
to the share `nearer` or less. */
typedef struct {
    int64_t chains, rows;
    const int64_t *atoms;
    const double *directions, *energies;
    double within, above, nearer;
} Known;

/* Moves x (n, 3) to the minimum downhill, where the root mean square of the gradient is at most `tolerance`, by at
most `most` steps. Returns the number of energies it took; 0 when it was left on the way since it was in the basin
of a known minimum (`known` may be NULL), -1 when it does not get there, -2 without memory. */
int64_t mmff_minimise(const Terms *terms, double *x, double tolerance, int64_t most, const Known *known);

#endif
