/* Which compilation of the kernel this processor can run. */
#include "position/kernel.h"

#include <string.h>

extern const aw_kernel aw_kernel_base;
#if defined __x86_64__
extern const aw_kernel aw_kernel_v3, aw_kernel_v4;
#endif

#if defined __x86_64__
/* The levels by features that only they have: not every compiler knows the levels' own names. */
static bool runs_v3(void)
{
    return __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") &&
           __builtin_cpu_supports("bmi") && __builtin_cpu_supports("bmi2");
}

static bool runs_v4(void)
{
    return runs_v3() && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") &&
           __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512dq") &&
           __builtin_cpu_supports("avx512vl");
}
#endif

const aw_kernel *aw_kernel_named(const char *level)
{
    if (strcmp(level, "base") == 0)
        return &aw_kernel_base;
#if defined __x86_64__
    __builtin_cpu_init();
    if (strcmp(level, "v3") == 0 && runs_v3())
        return &aw_kernel_v3;
    if (strcmp(level, "v4") == 0 && runs_v4())
        return &aw_kernel_v4;
#endif
    return NULL;
}

const aw_kernel *aw_kernel_best(void)
{
    static const char *const levels[] = {"v4", "v3", "base"};
    const aw_kernel *best = NULL;
    for (size_t i = 0; best == NULL; i++)
        best = aw_kernel_named(levels[i]);
    return best;
}
