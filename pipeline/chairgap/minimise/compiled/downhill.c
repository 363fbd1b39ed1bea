/* Downhill by quasi-Newton steps from a model of the second derivatives.

Its numbers decide how many energies a minimisation takes, not where a minimum is. Steps are those of the
limited-memory BFGS method (J. Nocedal, S. J. Wright, Numerical Optimization, 2006, algorithm 7.4, from memory),
whose first inverse Hessian is that of mmff_evaluate, factored by Cholesky's method and renewed every
RENEWED_AFTER steps: the positive model, or nearer the end the second derivatives themselves where they are
positive definite. No step is long, so that the way stays in the basin of the start. */

#include "mmff.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RENEWED_AFTER = 10, MOST_HALVINGS = 12 };
/* So often, in steps, a way is looked at whether it is in the basin of a known minimum. */
enum { LOOKED_AT_EVERY = 2 };
static const double LONGEST_STEP_ANGSTROM = 0.1;
/* Added to every curvature, kcal/mol/angstrom^2, of the model and of the second derivatives. */
static const double MODEL_SHIFT = 0.5, SHIFT = 1e-3;
/* Curvature of rigid motions, which have none. */
static const double RIGID = 100.0;
/* Below this root mean square of the gradient (kcal/mol/angstrom) the second derivatives are tried. */
static const double NEAR = 0.3;
/* A step has to give this share of what the slope promises; rounding of an energy of some hundred kcal/mol. */
static const double SUFFICIENT = 1e-4, ROUNDING = 1e-10;
/* Pivots of Cholesky's method and products of a step with its change of gradient (kcal/mol) that are no more than
this are rounding of numbers up to 1e4 and 1, and may be of either sign. */
static const double LEAST_PIVOT = 1e-8, LEAST_ALONG = 1e-12;

typedef struct {
    int64_t size, kept;
    int exact;
    double *factor;                   /* (size, size), lower triangle */
    double *steps, *changes, *weight; /* (RENEWED_AFTER, size) twice, (RENEWED_AFTER) */
} Curvature;

static double product(const double *a, const double *b, int64_t size) {
    /* Four sums, so that none waits for the one before. */
    double s[4] = {0.0};
    int64_t k = 0;
    for (; k + 4 <= size; k += 4)
        for (int lane = 0; lane < 4; lane++) s[lane] += a[k + lane] * b[k + lane];
    for (; k < size; k++) s[0] += a[k] * b[k];
    return (s[0] + s[2]) + (s[1] + s[3]);
}

static double root_mean_square(const double *gradient, int64_t size) {
    return sqrt(product(gradient, gradient, size) / size);
}

/* Adds w t t^T for the three translations and three rotations t, each of length 1. */
static void stiffen_rigid(double *second, const double *x, int64_t atoms, double *motion) {
    int64_t size = 3 * atoms;
    double centre[3] = {0.0};
    for (int64_t i = 0; i < size; i++) centre[i % 3] += x[i] / atoms;
    for (int kind = 0; kind < 6; kind++) {
        int axis = kind % 3, next = (axis + 1) % 3, last = (axis + 2) % 3;
        for (int64_t i = 0; i < atoms; i++) {
            double *own = motion + 3 * i;
            own[axis] = kind < 3 ? 1.0 : 0.0;
            own[next] = kind < 3 ? 0.0 : -(x[3 * i + last] - centre[last]);
            own[last] = kind < 3 ? 0.0 : x[3 * i + next] - centre[next];
        }
        double weight = RIGID / product(motion, motion, size);
        for (int64_t i = 0; i < size; i++)
            for (int64_t j = 0; j <= i; j++) second[i * size + j] += weight * motion[i] * motion[j];
    }
}

/* The lower triangle becomes its Cholesky factor; 0 where the matrix is not positive definite. */
static int factored(double *matrix, int64_t size) {
    for (int64_t k = 0; k < size; k++) {
        double *own = matrix + k * size;
        for (int64_t j = 0; j < k; j++) {
            const double *other = matrix + j * size;
            own[j] = (own[j] - product(own, other, j)) / other[j];
        }
        double rest = own[k] - product(own, own, k);
        if (!(rest > LEAST_PIVOT)) return 0;
        own[k] = sqrt(rest);
    }
    return 1;
}

static void solve(const double *factor, double *vector, int64_t size) {
    for (int64_t k = 0; k < size; k++)
        vector[k] = (vector[k] - product(factor + k * size, vector, k)) / factor[k * size + k];
    for (int64_t k = size - 1; k >= 0; k--) {
        vector[k] /= factor[k * size + k];
        for (int64_t j = 0; j < k; j++) vector[j] -= factor[k * size + j] * vector[k];
    }
}

/* The curvature at x anew; scratch (size) is overwritten. 0 where nothing positive is found. */
static int renew(Curvature *own, const Terms *terms, const double *x, int near, double *scratch) {
    own->kept = 0;
    for (own->exact = near; own->exact >= 0; own->exact--) {
        mmff_evaluate(terms, x, scratch, own->factor, !own->exact);
        stiffen_rigid(own->factor, x, terms->atoms, scratch);
        for (int64_t k = 0; k < own->size; k++)
            own->factor[k * own->size + k] += own->exact ? SHIFT : MODEL_SHIFT;
        if (factored(own->factor, own->size)) return 1;
    }
    return 0;
}

/* step = -B g, B from the factor and the kept steps. */
static void propose(const Curvature *own, const double *gradient, double *step) {
    double share[RENEWED_AFTER];
    int64_t size = own->size;
    for (int64_t k = 0; k < size; k++) step[k] = -gradient[k];
    for (int64_t row = own->kept - 1; row >= 0; row--) {
        share[row] = own->weight[row] * product(own->steps + row * size, step, size);
        for (int64_t k = 0; k < size; k++) step[k] -= share[row] * own->changes[row * size + k];
    }
    solve(own->factor, step, size);
    for (int64_t row = 0; row < own->kept; row++) {
        double back = share[row] - own->weight[row] * product(own->changes + row * size, step, size);
        for (int64_t k = 0; k < size; k++) step[k] += back * own->steps[row * size + k];
    }
}

static void remember(Curvature *own, const double *step, const double *before, const double *after) {
    double *change = own->changes + own->kept * own->size;
    for (int64_t k = 0; k < own->size; k++) change[k] = after[k] - before[k];
    double along = product(step, change, own->size);
    if (along <= LEAST_ALONG) return;
    memcpy(own->steps + own->kept * own->size, step, sizeof(double) * own->size);
    own->weight[own->kept++] = 1.0 / along;
}

/* The dihedral along atoms i j k l of x as cosine and sine; both 0 where three of them lie on a line. */
static void dihedral(const double *x, const int64_t *atoms, double *found) {
    double b[3][3], n[2][3];
    for (int bond = 0; bond < 3; bond++)
        for (int axis = 0; axis < 3; axis++)
            b[bond][axis] = x[3 * atoms[bond + 1] + axis] - x[3 * atoms[bond] + axis];
    for (int side = 0; side < 2; side++)
        for (int axis = 0; axis < 3; axis++) {
            int next = (axis + 1) % 3, last = (axis + 2) % 3;
            n[side][axis] = b[side][next] * b[side + 1][last] - b[side][last] * b[side + 1][next];
        }
    double middle = sqrt(product(b[1], b[1], 3));
    found[0] = product(n[0], n[1], 3);
    found[1] = middle * product(b[0], n[1], 3);
    double length = sqrt(found[0] * found[0] + found[1] * found[1]);
    for (int part = 0; part < 2; part++) found[part] = length > 0.0 ? found[part] / length : 0.0;
}

/* The dihedrals of x along all chains (chains, 2). */
static void dihedrals(const Known *known, const double *x, double *found) {
    for (int64_t chain = 0; chain < known->chains; chain++)
        dihedral(x, known->atoms + 4 * chain, found + 2 * chain);
}

/* The largest difference between two sets of dihedrals, radians; more than `most` where it is more than that. */
static double apart(const double *one, const double *other, int64_t chains, double most) {
    double least = 1.0, enough = cos(most);
    for (int64_t chain = 0; chain < chains && least >= enough; chain++)
        least = fmin(least, product(one + 2 * chain, other + 2 * chain, 2));
    return acos(fmax(least, -1.0));
}

/* Whether x, of that energy, is in the basin of a known minimum; `ahead` is x after the whole of its next step.
room (2, chains, 2) is overwritten. */
static int is_known(const Known *known, const double *x, double energy, const double *ahead, double *room) {
    int64_t chains = known->chains;
    double *here = room, *there = room + 2 * chains;
    dihedrals(known, x, here);
    dihedrals(known, ahead, there);
    for (int64_t row = 0; row < known->rows; row++) {
        double above = energy - known->energies[row];
        if (above < 0.0 || above > known->above) continue;
        const double *own = known->directions + 2 * chains * row;
        double now = apart(here, own, chains, known->within);
        if (now > known->within) continue;
        double most = known->nearer * now;
        if (apart(there, own, chains, most) <= most) return 1;
    }
    return 0;
}

static int64_t descend(const Terms *terms, double *x, double tolerance, int64_t most, const Known *known,
                       Curvature *own, double *room) {
    int64_t size = own->size, evaluated = 1;
    double *gradient = room, *ahead = room + size, *step = room + 2 * size, *place = room + 3 * size;
    double energy = mmff_evaluate(terms, x, gradient, NULL, 0);
    int fresh = 0;
    for (int64_t taken = 0; taken < most; taken++) {
        double rms = root_mean_square(gradient, size);
        if (rms <= tolerance) return evaluated;
        if (!isfinite(rms)) return -1;
        int near = rms < NEAR;
        if (!taken || own->kept == RENEWED_AFTER || (near && !own->exact && !fresh)) {
            if (!renew(own, terms, x, near, step)) return -1;
            fresh = near;
        }
        propose(own, gradient, step);
        if (known && taken && taken % LOOKED_AT_EVERY == 0) {
            for (int64_t k = 0; k < size; k++) place[k] = x[k] + step[k];
            if (is_known(known, x, energy, place, room + 4 * size)) return 0;
        }
        double longest = 0.0, slope;
        for (int64_t k = 0; k < size; k++) longest = fmax(longest, fabs(step[k]));
        if (longest > LONGEST_STEP_ANGSTROM)
            for (int64_t k = 0; k < size; k++) step[k] *= LONGEST_STEP_ANGSTROM / longest;
        slope = product(step, gradient, size);
        int halved = 0;
        for (; halved < MOST_HALVINGS; halved++, slope *= 0.5) {
            for (int64_t k = 0; k < size; k++) place[k] = x[k] + step[k];
            double lower = mmff_evaluate(terms, place, ahead, NULL, 0);
            evaluated++;
            if (lower <= energy + SUFFICIENT * slope + ROUNDING) {
                energy = lower;
                break;
            }
            for (int64_t k = 0; k < size; k++) step[k] *= 0.5;
        }
        if (halved == MOST_HALVINGS) return -1;
        remember(own, step, gradient, ahead);
        memcpy(x, place, sizeof(double) * size);
        memcpy(gradient, ahead, sizeof(double) * size);
    }
    return -1;
}

int64_t mmff_minimise(const Terms *terms, double *x, double tolerance, int64_t most, const Known *known) {
    int64_t size = 3 * terms->atoms, rows = size + 2 * RENEWED_AFTER + 4, dihedrals = known ? known->chains : 0;
    double *room = malloc(sizeof(double) * (rows * size + RENEWED_AFTER + 4 * dihedrals));
    if (!room) return -2;
    Curvature own = {.size = size, .factor = room};
    own.steps = room + size * size;
    own.changes = own.steps + RENEWED_AFTER * size;
    double *vectors = own.changes + RENEWED_AFTER * size;
    own.weight = vectors + 4 * size + 4 * dihedrals;
    int64_t evaluated = descend(terms, x, tolerance, most, known, &own, vectors);
    free(room);
    return evaluated;
}
