/* One random number by its name, for studies that draw few. */
#include "position/trials.h"

#include "position/kernel.h"

double aw_uniform(uint64_t seed, uint32_t cell, uint32_t anchor, uint32_t term, uint32_t draw)
{
    const aw_stream stream = {seed, cell, anchor, term};
    _Alignas(64) uint32_t word[AW_CHUNK];
    aw_kernel_best()->words(&stream, draw - draw % AW_CHUNK, AW_CHUNK, word);
    return ((double)word[draw % AW_CHUNK] + 0.5) * 0x1p-32;
}
