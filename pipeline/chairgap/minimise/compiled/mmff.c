/* MMFF94 and MMFF94s of one molecule: energy, gradient, second derivatives, and the way downhill.

Halgren, J. Comput. Chem. 1996, 17, 490-519, doi
10.1002/(SICI)1096-987X(199604)17:5/6<490::AID-JCC1>3.0.CO;2-P (equation numbers from memory, as in
openmm_engine.py). Parameters come in from mmff_terms.py. Positions (n, 3) in angstrom, energies in kcal/mol.
Nothing here keeps memory between calls, reads the clock or starts a thread; built without
contraction of floating-point operations, so that the same input gives the same bits. */

#include "mmff.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* Of which sources this was built: compiled/building.py. */
const char mmff_sources[] = SOURCES;

/* Where the parts of all terms are added up; second, (3n, 3n), may be NULL. With `model` set, second holds a
positive semidefinite model in place of the second derivatives. */
typedef struct {
    double energy;
    double *gradient;
    double *second;
    int64_t size;
    int model;
} Sum;

static const double MDYN = 143.9325, CUBIC_STRETCH = -2.0, CUBIC_BEND = -0.006981317;
static const double COULOMB = 332.0716, COULOMB_BUFFER = 0.05;
static const double DEGREE = 3.14159265358979323846 / 180.0;
/* Of the model: no torsion is softer, kcal/mol/rad^2. */
static const double SOFTEST_TORSION = 1.0;
/* Cosines are kept this far from 1, where an angle has no derivative. */
static const double STRAIGHT = 1e-14;
/* Arms whose cross product has a smaller square, angstrom^4, lie on one line to the rounding of its direction:
they have no torsion, and no plane. */
static const double ON_A_LINE = 1e-12;
/* Of the model: the least square of a torsion's sine, which it divides by. */
static const double FLAT = 1e-3;

static double dot(const double *a, const double *b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }

static void cross(const double *a, const double *b, double *out) {
    out[0] = a[1] * b[2] - a[2] * b[1];
    out[1] = a[2] * b[0] - a[0] * b[2];
    out[2] = a[0] * b[1] - a[1] * b[0];
}

static void arm(const double *x, int64_t from, int64_t to, double *out) {
    for (int k = 0; k < 3; k++) out[k] = x[3 * to + k] - x[3 * from + k];
}

/* Loops over constants vanish where a call is written out in its place. */
#ifdef __GNUC__
#define INLINED inline __attribute__((always_inline))
#else
#define INLINED inline
#endif

/* The distance of a pair of atoms, and the vector from the first to the second. */
static double separation(const double *x, const int64_t *pair, double *out) {
    arm(x, pair[0], pair[1], out);
    return sqrt(dot(out, out));
}

static double positive(double value) { return value > 0.0 ? value : 0.0; }

/* Adds a term of `arms` difference vectors d_a = sum_t signs[a][t] x_t over its `width` atoms: the gradient
by the arms (3 arms), the second derivatives by them (9 x 9). */
static INLINED void spread(Sum *sum, const int64_t *atoms, int width, int arms, const int8_t signs[3][4],
                   const double *slope, const double (*curve)[9]) {
    for (int t = 0; t < width; t++)
        for (int a = 0; a < arms; a++)
            if (signs[a][t])
                for (int k = 0; k < 3; k++) sum->gradient[3 * atoms[t] + k] += signs[a][t] * slope[3 * a + k];
    if (!sum->second) return;
    for (int t = 0; t < width; t++) {
        for (int u = 0; u < width; u++) {
            double block[9] = {0.0};
            for (int a = 0; a < arms; a++) {
                for (int b = 0; b < arms; b++) {
                    int sign = signs[a][t] * signs[b][u];
                    if (!sign) continue;
                    for (int k = 0; k < 3; k++)
                        for (int m = 0; m < 3; m++) block[3 * k + m] += sign * curve[3 * a + k][3 * b + m];
                }
            }
            double *corner = sum->second + 3 * atoms[t] * sum->size + 3 * atoms[u];
            for (int k = 0; k < 3; k++)
                for (int m = 0; m < 3; m++) corner[k * sum->size + m] += block[3 * k + m];
        }
    }
}

/* A term that depends on the distance r = |d| of i and j alone: its two derivatives by r. */
static void radial(Sum *sum, int64_t i, int64_t j, const double *d, double r, double first, double second) {
    double pull = first / r;
    for (int k = 0; k < 3; k++) {
        sum->gradient[3 * i + k] -= pull * d[k];
        sum->gradient[3 * j + k] += pull * d[k];
    }
    if (!sum->second) return;
    double across = sum->model ? positive(pull) : pull;
    double along = ((sum->model ? positive(second) : second) - across) / (r * r);
    for (int k = 0; k < 3; k++) {
        for (int m = 0; m < 3; m++) {
            double value = along * d[k] * d[m] + (k == m ? across : 0.0);
            sum->second[(3 * i + k) * sum->size + 3 * i + m] += value;
            sum->second[(3 * j + k) * sum->size + 3 * j + m] += value;
            sum->second[(3 * i + k) * sum->size + 3 * j + m] -= value;
            sum->second[(3 * j + k) * sum->size + 3 * i + m] -= value;
        }
    }
}

static void add_stretches(const Terms *terms, const double *x, Sum *sum) {
    for (int64_t row = 0; row < terms->stretches.count; row++) {
        const int64_t *at = terms->stretches.atoms + 2 * row;
        const double *own = terms->stretches.constants + 2 * row;
        double d[3], r = separation(x, at, d), q = r - own[1], k = MDYN * own[0], c = CUBIC_STRETCH;
        /* Eq. 2 */
        sum->energy += 0.5 * k * q * q * (1.0 + c * q + 7.0 / 12.0 * c * c * q * q);
        double first = k * q * (1.0 + 1.5 * c * q + 7.0 / 6.0 * c * c * q * q);
        radial(sum, at[0], at[1], d, r, first, k * (1.0 + 3.0 * c * q + 3.5 * c * c * q * q));
    }
}

static void add_pairs(const Terms *terms, const double *x, Sum *sum) {
    for (int64_t row = 0; row < terms->pairs.count; row++) {
        const int64_t *at = terms->pairs.atoms + 2 * row;
        const double *own = terms->pairs.constants + 3 * row;
        double d[3], r = separation(x, at, d), s = r / own[0];
        /* Eq. 8: e A (B - 2), A = (1.07 / (s + 0.07))^7, B = 1.12 / (s^7 + 0.12) */
        double near = 1.0 / (s + 0.07), share = 1.07 * near, share2 = share * share;
        double a = share2 * share2 * share2 * share, s2 = s * s, s5 = s2 * s2 * s;
        double low = 1.0 / (s5 * s2 + 0.12), b = 1.12 * low;
        double a1 = -7.0 * a * near, b1 = -7.0 * b * low * s5 * s;
        /* Eq. 13 */
        double buffered = 1.0 / (r + COULOMB_BUFFER), charges = COULOMB * own[2] * buffered;
        sum->energy += own[1] * a * (b - 2.0) + charges;
        double first = own[1] / own[0] * (a1 * (b - 2.0) + a * b1) - charges * buffered, second = 0.0;
        if (sum->second) {
            double a2 = -8.0 * a1 * near;
            double b2 = -42.0 * b * low * s5 - 14.0 * b1 * low * s5 * s;
            second = own[1] / (own[0] * own[0]) * (a2 * (b - 2.0) + 2.0 * a1 * b1 + a * b2);
            second += 2.0 * charges * buffered * buffered;
        }
        radial(sum, at[0], at[1], d, r, first, second);
    }
}

/* The cosine c of the angle between m and n, its gradient (6) and second derivatives (6 x 6) by both. */
typedef struct {
    double value, slope[6], curve[6][6];
} Cosine;

static void cosine(const double *m, const double *n, int curved, Cosine *out) {
    double over_m = 1.0 / sqrt(dot(m, m)), over_n = 1.0 / sqrt(dot(n, n)), u[3], v[3];
    for (int k = 0; k < 3; k++) u[k] = m[k] * over_m, v[k] = n[k] * over_n;
    double c = dot(u, v);
    double *p = out->slope, *q = out->slope + 3;
    out->value = c;
    for (int k = 0; k < 3; k++) p[k] = (v[k] - c * u[k]) * over_m, q[k] = (u[k] - c * v[k]) * over_n;
    if (!curved) return;
    for (int k = 0; k < 3; k++) {
        for (int l = 0; l < 3; l++) {
            double same = k == l ? 1.0 : 0.0;
            out->curve[k][l] = -over_m * (u[k] * p[l] + p[k] * u[l] + c * over_m * (same - u[k] * u[l]));
            out->curve[3 + k][3 + l] =
                -over_n * (v[k] * q[l] + q[k] * v[l] + c * over_n * (same - v[k] * v[l]));
            out->curve[k][3 + l] = over_m * (over_n * (same - v[k] * v[l]) - u[k] * q[l]);
            out->curve[3 + l][k] = out->curve[k][3 + l];
        }
    }
}

/* An angle from its cosine, with its two derivatives by it. */
static double angle_of(double c, double *first, double *second) {
    if (c > 1.0 - STRAIGHT) c = 1.0 - STRAIGHT;
    if (c < STRAIGHT - 1.0) c = STRAIGHT - 1.0;
    double sine2 = 1.0 - c * c;
    *first = -1.0 / sqrt(sine2);
    *second = *first * c / sine2;
    return acos(c);
}

/* The arms of an angle lead from its centre, atom 1. */
static const int8_t FROM_CENTRE[3][4] = {{1, -1, 0, 0}, {0, -1, 1, 0}, {0, 0, 0, 0}};

/* A function of the cosine alone over two arms: its derivatives by the cosine, and whether the curvature of the
cosine itself counts. */
static void add_angular(Sum *sum, const int64_t *at, const Cosine *c, double first, double second, int curved) {
    double slope[6], curve[9][9];
    for (int k = 0; k < 6; k++) slope[k] = first * c->slope[k];
    if (sum->second)
        for (int k = 0; k < 6; k++)
            for (int m = 0; m < 6; m++)
                curve[k][m] = second * c->slope[k] * c->slope[m] + (curved ? first * c->curve[k][m] : 0.0);
    spread(sum, at, 3, 2, FROM_CENTRE, slope, curve);
}

/* The curvature of the cosine by one arm d becomes the square of the slope of d / |d|. */
static void square_of_slope(const double *d, int place, Cosine *c) {
    double r2 = dot(d, d);
    for (int k = 0; k < 3; k++)
        for (int m = 0; m < 3; m++)
            c->curve[place + k][place + m] = ((k == m ? 1.0 : 0.0) - d[k] * d[m] / r2) / r2;
}

static void add_bends(const Terms *terms, const double *x, Sum *sum) {
    int curved = sum->second && !sum->model;
    double a[3], b[3];
    Cosine c;
    for (int64_t row = 0; row < terms->bends.count; row++) {
        const int64_t *at = terms->bends.atoms + 3 * row;
        const double *own = terms->bends.constants + 2 * row;
        arm(x, at[1], at[0], a);
        arm(x, at[1], at[2], b);
        cosine(a, b, curved, &c);
        double by_c, by_cc, q = angle_of(c.value, &by_c, &by_cc) / DEGREE - own[1];
        double k = MDYN * own[0] * DEGREE * DEGREE, cubic = CUBIC_BEND;
        /* Eq. 3 */
        sum->energy += 0.5 * k * q * q * (1.0 + cubic * q);
        double first = k * q * (1.0 + 1.5 * cubic * q) / DEGREE;
        double second = k * (1.0 + 3.0 * cubic * q) / (DEGREE * DEGREE);
        double bent = sum->model ? positive(second) * by_c * by_c : second * by_c * by_c + first * by_cc;
        add_angular(sum, at, &c, first * by_c, bent, curved);
    }
    for (int64_t row = 0; row < terms->linear_bends.count; row++) {
        const int64_t *at = terms->linear_bends.atoms + 3 * row;
        double k = MDYN * terms->linear_bends.constants[row];
        arm(x, at[1], at[0], a);
        arm(x, at[1], at[2], b);
        /* Eq. 4. 1 + c is half the square of u + v, the arms' unit vectors: the model is the square of its slopes
        (J. Nocedal, S. J. Wright, Numerical Optimization, 2006, section 10.3, from memory) */
        cosine(a, b, sum->second != NULL, &c);
        sum->energy += k * (1.0 + c.value);
        if (sum->second && sum->model) square_of_slope(a, 0, &c), square_of_slope(b, 3, &c);
        add_angular(sum, at, &c, k, 0.0, 1);
    }
}

static void add_stretch_bends(const Terms *terms, const double *x, Sum *sum) {
    int curved = sum->second && !sum->model;
    for (int64_t row = 0; row < terms->stretch_bends.count; row++) {
        const int64_t *at = terms->stretch_bends.atoms + 3 * row;
        const double *own = terms->stretch_bends.constants + 5 * row;
        double d[2][3], slope[6], curve[9][9], r[2], by_c, by_cc;
        Cosine c;
        arm(x, at[1], at[0], d[0]);
        arm(x, at[1], at[2], d[1]);
        cosine(d[0], d[1], curved, &c);
        double q = angle_of(c.value, &by_c, &by_cc) / DEGREE - own[4], scale = MDYN * DEGREE;
        r[0] = sqrt(dot(d[0], d[0])), r[1] = sqrt(dot(d[1], d[1]));
        /* Eq. 5: E = 2.51210 (k1 dr1 + k2 dr2) q, q in degrees */
        double both = scale * (own[0] * (r[0] - own[2]) + own[1] * (r[1] - own[3]));
        double first = both * by_c / DEGREE, second = both * by_cc / DEGREE;
        sum->energy += both * q;
        for (int a = 0; a < 2; a++)
            for (int k = 0; k < 3; k++)
                slope[3 * a + k] = first * c.slope[3 * a + k] + scale * own[a] * q * d[a][k] / r[a];
        if (curved) {
            for (int k = 0; k < 6; k++) {
                for (int m = 0; m < 6; m++) {
                    int i = k / 3, j = m / 3;
                    double e = d[i][k % 3] / r[i], f = d[j][m % 3] / r[j], pull = scale * own[i] * q / r[i];
                    curve[k][m] = second * c.slope[k] * c.slope[m] + first * c.curve[k][m];
                    curve[k][m] += scale * by_c / DEGREE * (own[i] * e * c.slope[m] + own[j] * f * c.slope[k]);
                    if (i == j) curve[k][m] += pull * ((k == m ? 1.0 : 0.0) - e * f);
                }
            }
        }
        /* It has no sign of its own: the model leaves it out. */
        double *second_place = sum->second;
        if (sum->model) sum->second = NULL;
        spread(sum, at, 3, 2, FROM_CENTRE, slope, curve);
        sum->second = second_place;
    }
}

/* Adds the matrix of v -> sign w x v to a block of a larger one. */
static void turning(double (*place)[9], int row, int column, const double *w, double sign) {
    double rows[3][3] = {{0.0, -w[2], w[1]}, {w[2], 0.0, -w[0]}, {-w[1], w[0], 0.0}};
    for (int k = 0; k < 3; k++)
        for (int m = 0; m < 3; m++) place[row + k][column + m] += sign * rows[k][m];
}

/* Second derivatives by three arms of a function f of the cosine of two vectors (m, n) that depend on the arms
through jacobian (6 x 9); where m = a x b (arms 0 and 1), and n = b x c (arms 1 and 2) if `twice`. */
static void through(const Cosine *c, const double (*jacobian)[9], double first, double second, int model,
                    int twice, double (*curve)[9]) {
    double inner[6][6], half[6][9];
    for (int k = 0; k < 6; k++)
        for (int m = 0; m < 6; m++)
            inner[k][m] = second * c->slope[k] * c->slope[m] + (model ? 0.0 : first * c->curve[k][m]);
    for (int k = 0; k < 6; k++)
        for (int m = 0; m < 9; m++) {
            half[k][m] = 0.0;
            for (int l = 0; l < 6; l++) half[k][m] += inner[k][l] * jacobian[l][m];
        }
    for (int k = 0; k < 9; k++)
        for (int m = 0; m < 9; m++) {
            curve[k][m] = 0.0;
            for (int l = 0; l < 6; l++) curve[k][m] += jacobian[l][k] * half[l][m];
        }
    if (model) return;
    for (int pair = 0; pair <= twice; pair++) {
        turning(curve, 3 * pair, 3 * pair + 3, c->slope + 3 * pair, -first);
        turning(curve, 3 * pair + 3, 3 * pair, c->slope + 3 * pair, first);
    }
}

static const int8_t ALONG_CHAIN[3][4] = {{-1, 1, 0, 0}, {0, -1, 1, 0}, {0, 0, -1, 1}};

static void add_torsions(const Terms *terms, const double *x, Sum *sum) {
    for (int64_t row = 0; row < terms->torsions.count; row++) {
        const int64_t *at = terms->torsions.atoms + 4 * row;
        const double *v = terms->torsions.constants + 3 * row;
        double d[3][3], m[3], n[3], slope[9], part[3], jacobian[6][9] = {{0.0}}, curve[9][9];
        Cosine c;
        for (int a = 0; a < 3; a++) arm(x, at[a], at[a + 1], d[a]);
        cross(d[0], d[1], m);
        cross(d[1], d[2], n);
        if (dot(m, m) < ON_A_LINE || dot(n, n) < ON_A_LINE) continue;
        cosine(m, n, sum->second && !sum->model, &c);
        /* Eq. 7 in powers of the cosine */
        double w = c.value, first = 0.5 * (v[0] - 4.0 * v[1] * w + v[2] * (12.0 * w * w - 3.0));
        sum->energy += 0.5 * (v[0] * (1.0 + w) + 2.0 * v[1] * (1.0 - w * w) + v[2] * (1.0 + w * (4.0 * w * w - 3.0)));
        cross(d[1], c.slope, slope);
        cross(c.slope, d[0], slope + 3);
        cross(d[2], c.slope + 3, part);
        cross(c.slope + 3, d[1], slope + 6);
        for (int k = 0; k < 3; k++) slope[3 + k] += part[k];
        for (int k = 0; k < 9; k++) slope[k] *= first;
        if (sum->second) {
            turning(jacobian, 0, 0, d[1], -1.0);
            turning(jacobian, 0, 3, d[0], 1.0);
            turning(jacobian, 3, 3, d[2], -1.0);
            turning(jacobian, 3, 6, d[1], 1.0);
            double second = 0.5 * (24.0 * v[2] * w - 4.0 * v[1]), sine2 = 1.0 - w * w;
            if (sum->model) {
                /* by the angle itself, positive: E'' = first c'' + second c'^2 */
                double by_angle = fabs(second * sine2 - first * w);
                if (by_angle < SOFTEST_TORSION) by_angle = SOFTEST_TORSION;
                second = by_angle / (sine2 > FLAT ? sine2 : FLAT);
            }
            through(&c, jacobian, first, second, sum->model, 1, curve);
        }
        spread(sum, at, 4, 3, ALONG_CHAIN, slope, curve);
    }
}

static const int8_t OUT_OF_PLANE[3][4] = {{1, -1, 0, 0}, {0, -1, 1, 0}, {0, -1, 0, 1}};

static void add_out_of_planes(const Terms *terms, const double *x, Sum *sum) {
    for (int64_t row = 0; row < terms->out_of_planes.count; row++) {
        const int64_t *at = terms->out_of_planes.atoms + 4 * row;
        double k = MDYN * terms->out_of_planes.constants[row];
        double d[3][3], m[3], slope[9], jacobian[6][9] = {{0.0}}, curve[9][9], by_s, by_ss;
        Cosine c;
        arm(x, at[1], at[0], d[0]);
        arm(x, at[1], at[2], d[1]);
        arm(x, at[1], at[3], d[2]);
        cross(d[0], d[1], m);
        if (dot(m, m) < ON_A_LINE) continue;
        cosine(m, d[2], sum->second && !sum->model, &c);
        /* Eq. 6: the sine of chi is the cosine to the normal, chi = 90 degrees - its angle */
        double chi = asin(1.0) - angle_of(c.value, &by_s, &by_ss);
        sum->energy += 0.5 * k * chi * chi;
        double first = -k * chi * by_s, second = k * by_s * by_s - (sum->model ? 0.0 : k * chi * by_ss);
        cross(d[1], c.slope, slope);
        cross(c.slope, d[0], slope + 3);
        for (int l = 0; l < 6; l++) slope[l] *= first;
        for (int l = 0; l < 3; l++) slope[6 + l] = first * c.slope[3 + l];
        if (sum->second) {
            turning(jacobian, 0, 0, d[1], -1.0);
            turning(jacobian, 0, 3, d[0], 1.0);
            for (int l = 0; l < 3; l++) jacobian[3 + l][6 + l] = 1.0;
            through(&c, jacobian, first, second, sum->model, 0, curve);
        }
        spread(sum, at, 4, 3, OUT_OF_PLANE, slope, curve);
    }
}

double mmff_evaluate(const Terms *terms, const double *x, double *gradient, double *second, int model) {
    int64_t size = 3 * terms->atoms;
    Sum sum = {.energy = 0.0, .gradient = gradient, .second = second, .size = size, .model = model};
    memset(gradient, 0, sizeof(double) * size);
    if (second) memset(second, 0, sizeof(double) * size * size);
    add_stretches(terms, x, &sum);
    add_bends(terms, x, &sum);
    add_stretch_bends(terms, x, &sum);
    add_out_of_planes(terms, x, &sum);
    add_torsions(terms, x, &sum);
    add_pairs(terms, x, &sum);
    return sum.energy;
}
