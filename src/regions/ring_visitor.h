/* How the rings of a shape are handed to those who draw or measure them. */
#ifndef ISW_REGIONS_RING_VISITOR_H
#define ISW_REGIONS_RING_VISITOR_H

/* A closed ring of n points; middle_x: of the shape that it belongs to, by which a drawer finds the
 * turn of longitude on which the grid has it. */
typedef void isw_ring_visitor(void *into, int n, const double *x, const double *y, double middle_x);

#endif
