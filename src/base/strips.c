/* As many strips as keep the lists short: an edge stands in each strip that it reaches, so polygons
 * of long upright edges get few. */
#include "base/strips.h"

#include <math.h>
#include <stdlib.h>

static size_t strip_at(const aw_strips *s, double y)
{
    const double at = (y - s->polygon->low.y) / s->height;
    return at > 0 ? at < (double)s->n ? (size_t)at : s->n - 1 : 0;
}

static double low_of(const aw_polygon *p, size_t edge)
{
    return fmin(p->at[edge].y, p->at[(edge + 1) % p->n].y);
}

static double high_of(const aw_polygon *p, size_t edge)
{
    return fmax(p->at[edge].y, p->at[(edge + 1) % p->n].y);
}

static size_t choose_count(const aw_polygon *p)
{
    double climbed = 0;
    for (size_t i = 0; i < p->n; i++)
        climbed += high_of(p, i) - low_of(p, i);
    const double count = (double)p->n * (p->high.y - p->low.y) / climbed;
    return count > 1 ? (size_t)count : 1;
}

/* Counts the edges of each strip, two places on, then puts them there: first[k + 1] begins as the
 * start of strip k and ends as its end. */
static bool fill(aw_strips *s)
{
    const aw_polygon *p = s->polygon;
    for (size_t i = 0; i < p->n; i++)
        for (size_t k = strip_at(s, low_of(p, i)); k <= strip_at(s, high_of(p, i)); k++)
            s->first[k + 2]++;
    for (size_t k = 0; k < s->n; k++)
        s->first[k + 2] += s->first[k + 1];
    s->edge = malloc(s->first[s->n + 1] * sizeof *s->edge);
    if (s->edge == NULL)
        return false;
    for (size_t i = 0; i < p->n; i++)
        for (size_t k = strip_at(s, low_of(p, i)); k <= strip_at(s, high_of(p, i)); k++)
            s->edge[s->first[k + 1]++] = i;
    return true;
}

bool aw_strips_make(aw_strips *s, const aw_polygon *polygon)
{
    *s = (aw_strips){.polygon = polygon, .n = choose_count(polygon)};
    s->height = (polygon->high.y - polygon->low.y) / (double)s->n;
    s->first = calloc(s->n + 2, sizeof *s->first);
    s->asked = calloc(polygon->n, sizeof *s->asked);
    if (s->first != NULL && s->asked != NULL && fill(s))
        return true;
    aw_strips_free(s);
    return false;
}

void aw_strips_free(aw_strips *strips)
{
    free(strips->first);
    free(strips->edge);
    free(strips->asked);
    *strips = (aw_strips){0};
}

size_t aw_strips_between(aw_strips *s, double low, double high, size_t edges[])
{
    const size_t from = strip_at(s, low), to = strip_at(s, high);
    size_t n = 0;
    s->asks++;
    for (size_t i = s->first[from]; i < s->first[to + 1]; i++) {
        const size_t edge = s->edge[i];
        if (s->asked[edge] == s->asks)
            continue;
        s->asked[edge] = s->asks;
        edges[n++] = edge;
    }
    return n;
}
