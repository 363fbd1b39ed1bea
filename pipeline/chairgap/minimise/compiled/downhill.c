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

static int64_t descend(const Terms *terms, double *x, double tolerance, int64_t most, Curvature *own,
                       double *room) {
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

int64_t mmff_minimise(const Terms *terms, double *x, double tolerance, int64_t most) {
    int64_t size = 3 * terms->atoms, rows = size + 2 * RENEWED_AFTER + 4;
    double *room = malloc(sizeof(double) * (rows * size + RENEWED_AFTER));
    if (!room) return -2;
    Curvature own = {.size = size, .factor = room};
    own.steps = room + size * size;
    own.changes = own.steps + RENEWED_AFTER * size;
    own.weight = room + rows * size;
    int64_t evaluated = descend(terms, x, tolerance, most, &own, own.changes + RENEWED_AFTER * size);
    free(room);
    return evaluated;
}
