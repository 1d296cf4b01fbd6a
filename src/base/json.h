/* Writing JSON: commas and quotes are this file's business, so that a result is written as it
 * reads.
 *
 *     aw_json j = {.text = &text};
 *     aw_json_open(&j, NULL, '{');
 *     aw_json_number(&j, "p95_m", 0.31);
 *     aw_json_close(&j, '}');
 *
 * A key of NULL stands for an item of a list or the document itself. */
#ifndef AW_BASE_JSON_H
#define AW_BASE_JSON_H

#include <stdbool.h>
#include <stdint.h>

#include "anchorwise/text.h"

typedef struct aw_json {
    aw_text *text;
    bool follows; /* whether something stands before the next value in this bracket */
} aw_json;

void aw_json_open(aw_json *json, const char *key, char bracket);
void aw_json_close(aw_json *json, char bracket);

/* null for NaN and infinity. */
void aw_json_number(aw_json *json, const char *key, double value);
void aw_json_count(aw_json *json, const char *key, uint64_t value);

/* null for NULL. Bytes that are not UTF-8 become U+FFFD. */
void aw_json_string(aw_json *json, const char *key, const char *value);

/* 1 true, 0 false, -1 null. */
void aw_json_truth(aw_json *json, const char *key, int value);

/* A list of n numbers. */
void aw_json_numbers(aw_json *json, const char *key, const double values[], size_t n);

#endif
