/* The sweep's figure at the best level that this processor has. */
#include "position/exchange.h"

#include "position/kernel.h"

size_t aw_exchange_planes(aw_fix_kind dims)
{
    return dims == AW_FIX_2D ? 6 : 10;
}

void aw_exchange_score(aw_fix_kind dims, const float left[], const float more[], size_t n,
                       const aw_exchange_need *need, float score[])
{
    aw_kernel_best()->exchange(dims, left, more, n, need, score);
}

void aw_sums_batch_expect(const aw_sums sums[], size_t n, double height_sigma, aw_law laws[])
{
    aw_kernel_best()->expect(sums, n, height_sigma, laws);
}
