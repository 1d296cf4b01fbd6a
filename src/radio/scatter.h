/** @file scatter.h
 *  What a hall scatters round its machines: how much power, and how late its first part is found.
 *
 *  Single paths explain when the first part of a frame arrives, not with how much power. Out of
 *  sight the power of a whole frame follows published laws; what the paths of a link lack of that
 *  is scattered: one more path, found AW_SCATTER_DB below its power, whose excess is
 *  max(least, X): least that of the shortest way there is, X drawn once for a spot and an anchor:
 *
 *      X = 0 with probability 0.11, else exp(N(-1.456, 1.107^2)) m, at most 4 m
 *
 *  Fitted to the medians of 174 links out of sight in one industrial laboratory, less the median in
 *  sight: J. Fontaine et al., IEEE Internet of Things Journal, 2023, doi 10.1109/JIOT.2023.3299319
 *  (12 138 ranges, channel 1). There p50 was 0.204 m, p95 1.310 m, the mean 0.362 m. Received power
 *  less that of the first path: 7.9 dB at the median out of sight, 3.0 and 16.6 at p5 and p95. In
 *  rooms apart X is larger: walls between rooms are to be drawn as walls. */
#ifndef AW_RADIO_SCATTER_H
#define AW_RADIO_SCATTER_H

/** Of the whole that its first found part is weaker, dB. */
#define AW_SCATTER_DB 8.0
/** Median of X, m. */
#define AW_SCATTER_MEDIAN 0.1963

/** Points of a table of X: X at the share i / AW_SCATTER_STEPS; between them a straight line. */
#define AW_SCATTER_STEPS 4096

/** X that a share in (0, 1) of spots does not exceed, m. */
double aw_scatter_quantile(double share);

/** Share of spots where X is at most `most` m; 0 below 0. */
double aw_scatter_share(double most);

/** Mean of min(X, most), m; `most` may be infinite. */
double aw_scatter_mean(double most);

/** Mean of the first of max(least, X) and of a path of that excess, m, `excess` may be infinite. */
double aw_scatter_first(double least, double excess);

/** Fills AW_SCATTER_STEPS + 1 values, m. */
void aw_scatter_table(float table[AW_SCATTER_STEPS + 1]);

#endif
