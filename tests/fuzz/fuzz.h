/* What a fuzz target and the program that drives it agree on: libFuzzer's two functions, which
 * tests/fuzz/replay.c calls for the files of a corpus with any compiler. */
#ifndef AW_FUZZ_H
#define AW_FUZZ_H

#include <stddef.h>
#include <stdint.h>

/* Called once, before the first input. */
int LLVMFuzzerInitialize(int *argc, char ***argv);

/* Handles one input and returns 0; a defect ends the process. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif
