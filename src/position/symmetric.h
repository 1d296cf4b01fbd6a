/* Symmetric 2 x 2 and 3 x 3 matrices: inverse, eigenvalues. In 2d the third row and column are 0.
 */
#ifndef AW_POSITION_SYMMETRIC_H
#define AW_POSITION_SYMMETRIC_H

/* Largest over smallest eigenvalue; infinity if the matrix is not positive definite. */
double aw_symmetric_condition(double m[3][3], int dims);

/* The smallest eigenvalue, to the rounding of the largest. */
double aw_symmetric_least(double m[3][3], int dims);

/* Inverse by cofactors; the caller knows that the matrix is not singular. */
void aw_symmetric_invert(double m[3][3], int dims, double inverse[3][3]);

#endif
