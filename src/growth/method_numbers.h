/* The method's own numbers, each once, beside its equation's number in docs/method.md. Those that a
 * user or a sheet may change are in struct isw_conditions and struct isw_sheet. */
#ifndef ISW_GROWTH_METHOD_NUMBERS_H
#define ISW_GROWTH_METHOD_NUMBERS_H

/* Equation 3: below this half-swing the sine formula divides by nearly nothing. */
#define ISW_METHOD_FLAT_DAY_K 1e-6

/* Equation 6: a stage is through when this little is missing, so that sums of whole best days come
 * out whole. */
#define ISW_METHOD_CLOCK_SLACK_DAYS 1e-6

/* Equation 9: three-point Gauss-Hermite quadrature over a normal distribution. */
#define ISW_METHOD_ROOT_THREE 1.73205080756887729353
#define ISW_METHOD_OUTER_WEIGHT (1.0 / 6.0)
#define ISW_METHOD_MIDDLE_WEIGHT (2.0 / 3.0)

/* Equation 12: shares are compared as whole millionths; from this share on nothing limits. */
#define ISW_METHOD_SHARES_IN_ONE 1000000
#define ISW_METHOD_LIMIT_BELOW 0.95

/* Equation 13: what a good day's odds are at least. */
#define ISW_METHOD_GOOD_SURVIVE 0.9
#define ISW_METHOD_GOOD_STAY 0.9

/* Equation 13: the middles of the ten tenths of the normal distribution, in standard deviations;
 * one side's. */
enum { ISW_METHOD_YEARS_A_SIDE = 5 };
static const double isw_method_year_z[ISW_METHOD_YEARS_A_SIDE] = {0.12566, 0.38532, 0.67449,
                                                                  1.03643, 1.64485};

/* Equation 14: what top days may lie below the highest score, in tenths of a point. */
enum { ISW_METHOD_TOP_TENTHS = 10 };

#endif
