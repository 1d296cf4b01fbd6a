/* The solver's own J, with the weights it believes. */
#include "position/gains.h"

#include "position/symmetric.h"

void aw_gains_at(const aw_link *const link[], const double weight[], size_t n, int dims,
                 float *const gain[2])
{
    double total = 0, mean[3] = {0}, j[3][3] = {{0}}, inverse[3][3];
    for (size_t i = 0; i < n; i++) {
        total += weight[i];
        for (int k = 0; k < dims; k++)
            mean[k] += weight[i] * link[i]->u[k];
    }
    for (int k = 0; k < dims; k++)
        mean[k] /= total;
    for (size_t i = 0; i < n; i++)
        for (int k = 0; k < dims; k++)
            for (int l = 0; l < dims; l++)
                j[k][l] += weight[i] * (link[i]->u[k] - mean[k]) * (link[i]->u[l] - mean[l]);
    aw_symmetric_invert(j, dims, inverse);
    for (size_t i = 0; i < n; i++)
        for (int axis = 0; axis < 2; axis++) {
            double moved = 0;
            for (int k = 0; k < dims; k++)
                moved += inverse[axis][k] * weight[i] * (link[i]->u[k] - mean[k]);
            gain[axis][i] = (float)moved;
        }
}
