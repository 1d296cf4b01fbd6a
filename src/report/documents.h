/** @file
 *  Every JSON document that the program prints. */
#ifndef AW_REPORT_DOCUMENTS_H
#define AW_REPORT_DOCUMENTS_H

#include "report/shape.h"

typedef struct aw_document {
    const char *printed_by; /* "assess --json" */
    const aw_shape *shape;
} aw_document;

extern const aw_document aw_documents[];
extern const size_t aw_documents_n;

/* Calls `see` for every document's shape and for each shape inside them, once each, documents
 * first. */
void aw_shapes_each(void (*see)(const aw_shape *shape, void *context), void *context);

#endif
