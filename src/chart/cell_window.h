/* A rectangle of cells. */
#ifndef ISW_CHART_CELL_WINDOW_H
#define ISW_CHART_CELL_WINDOW_H

/* Cells [col, col + cols) x [row, row + rows) */
struct isw_cell_window {
  int col, row, cols, rows;
};

#endif
