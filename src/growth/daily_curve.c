/* DESIGN. Unknowns are the values e_0..e_11 at the starts of the months; row i of the system joins
 * month i-1 and month i:
 *
 *     e_{i-1}/n_{i-1} + 2 (1/n_{i-1} + 1/n_i) e_i + e_{i+1}/n_i = 3 (m_{i-1}/n_{i-1} + m_i/n_i)
 *
 * The matrix is cyclic, symmetric, and diagonally dominant, so elimination needs no pivoting. The
 * two corner entries are taken out as a rank-one term (Sherman-Morrison). */
#include "growth/daily_curve.h"

enum { MONTHS = ISW_YEAR_MONTHS };

/* Solve the tridiagonal system with the given diagonal; side[i] joins rows i and i+1. */
static void solve_tridiagonal(const double diagonal[MONTHS], const double side[MONTHS],
                              const double right[MONTHS], double solution[MONTHS]) {
  double pivot[MONTHS];
  pivot[0] = diagonal[0];
  solution[0] = right[0];
  for (int i = 1; i < MONTHS; i++) {
    double factor = side[i - 1] / pivot[i - 1];
    pivot[i] = diagonal[i] - factor * side[i - 1];
    solution[i] = right[i] - factor * solution[i - 1];
  }
  solution[MONTHS - 1] /= pivot[MONTHS - 1];
  for (int i = MONTHS - 2; i >= 0; i--)
    solution[i] = (solution[i] - side[i] * solution[i + 1]) / pivot[i];
}

void isw_growth_curve_starts(const double month_mean[MONTHS], double start[MONTHS]) {
  double side[MONTHS], diagonal[MONTHS], right[MONTHS], corner[MONTHS] = {0};
  for (int i = 0; i < MONTHS; i++) side[i] = 1.0 / isw_base_month_days[i];
  for (int i = 0; i < MONTHS; i++) {
    int before = (i + MONTHS - 1) % MONTHS;
    diagonal[i] = 2.0 * (side[before] + side[i]);
    right[i] = 3.0 * (month_mean[before] * side[before] + month_mean[i] * side[i]);
  }
  double joint = side[MONTHS - 1]; /* joins December's start and January's */
  double gamma = -diagonal[0];
  diagonal[0] -= gamma;
  diagonal[MONTHS - 1] -= joint * joint / gamma;
  corner[0] = gamma;
  corner[MONTHS - 1] = joint;

  double plain[MONTHS], turn[MONTHS];
  solve_tridiagonal(diagonal, side, right, plain);
  solve_tridiagonal(diagonal, side, corner, turn);
  double last = joint / gamma;
  double share = (plain[0] + last * plain[MONTHS - 1]) / (1.0 + turn[0] + last * turn[MONTHS - 1]);
  for (int i = 0; i < MONTHS; i++) start[i] = plain[i] - share * turn[i];
}

void isw_growth_curve_days(const double month_mean[ISW_YEAR_MONTHS], double day[ISW_YEAR_DAYS]) {
  double start[MONTHS];
  isw_growth_curve_starts(month_mean, start);
  for (int i = 0; i < MONTHS; i++) {
    double e0 = start[i], e1 = start[(i + 1) % MONTHS], n = isw_base_month_days[i];
    for (int k = 0; k < isw_base_month_days[i]; k++) {
      double u1 = (k + 0.5) / n;
      double u2 = ((k + 0.5) * (k + 0.5) + 1.0 / 12.0) / (n * n);
      double v = u1 - u2;
      day[isw_base_month_start[i] + k] =
          (1.0 - u1 - 3.0 * v) * e0 + (u1 - 3.0 * v) * e1 + 6.0 * v * month_mean[i];
    }
  }
}

void isw_growth_curve_year(const struct isw_normals *normals, double warmer_K,
                           struct isw_year *out) {
  isw_growth_curve_days(normals->tmin_C, out->tmin_C);
  isw_growth_curve_days(normals->tmax_C, out->tmax_C);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    double lo = out->tmin_C[day] + warmer_K, hi = out->tmax_C[day] + warmer_K;
    if (lo > hi) lo = hi = 0.5 * (lo + hi);
    out->tmin_C[day] = lo;
    out->tmax_C[day] = hi;
  }
}
