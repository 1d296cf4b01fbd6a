// What is laid over the chart and goes again: bearings and ellipse of a spot, dividers, the ghost of what is
// being drawn, the distance snapped to, the cross-hair.

import {$, drawn} from './dom.js';
import {distance, meets} from './plane.js';
import {anchorNamed, state, watch} from './state.js';
import {bearing, length} from './units.js';
import {BORDER, X, Y, view} from './view.js';

const line = (a, b, kind) => drawn('path', {class: kind, d: `M${X(a[0])} ${Y(a[1])}L${X(b[0])} ${Y(b[1])}`});

function label(x, y, words) {
    const end = x > view.width - 40 - words.length * 7;
    return drawn('text', {class: 'label', x: end ? x - 11 : x + 11, y, 'text-anchor': end ? 'end' : 'start'}, words);
}

// The ellipse at its true size, or enlarged so that it can be seen; then its scale is said beside it.
function ellipse(spot) {
    const {along_m: along, across_m: across, azimuth_deg: azimuth} = spot.ellipse ?? {};
    if (!along) return [];
    const times = [1, 2, 5, 10, 20, 50].find((t) => along * t * view.scale >= 14) ?? 100;
    const [x, y] = [X(spot.at[0]), Y(spot.at[1])];
    return [
        drawn('ellipse', {class: 'ellipse', rx: along * times * view.scale, ry: Math.max(0.5, across * times * view.scale),
            transform: `translate(${x} ${y}) rotate(${azimuth - 90})`}),
        times > 1 ? label(x, y + 26, `ellipse ${times} times enlarged`) : null,
    ];
}

// A lost bearing ends where it first meets what hides the anchor.
function endOf(from, to, by) {
    if (!to) return null;
    const obstacle = state.scene.obstacles?.find((one) => one.name === by);
    const wall = state.scene.walls?.find((one) => one.name === by);
    if (!obstacle && !wall) return null;
    const t = obstacle ? meets(from, to, obstacle.polygon) : meets(from, to, wall.points, false);
    return t <= 1 ? [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t] : to;
}

function spotMarks(spot) {
    const marks = [];
    for (const link of spot.serving ?? []) marks.push(line(spot.at, link.at, link.sight === 'clear' ? 'bearing' : 'bearing through'));
    for (const {by, anchors} of spot.lost ?? []) {
        for (const name of anchors) {
            const end = endOf(spot.at, anchorNamed(name)?.at, by);
            if (!end) continue;
            marks.push(line(spot.at, end, 'bearing lost'),
                drawn('path', {class: 'bearing', d: `M${X(end[0]) - 4} ${Y(end[1]) - 4}l8 8m0-8l-8 8`}));
        }
    }
    const [x, y] = [X(spot.at[0]), Y(spot.at[1])];
    marks.push(...ellipse(spot), drawn('circle', {class: 'spot', cx: x, cy: y, r: 4.5}),
        drawn('circle', {class: 'spot around', cx: x, cy: y, r: 10}));
    return marks;
}

// A pair of dividers stands on its two points; the joint leans to the side with more room.
function dividers([a, b]) {
    const [p, q] = [[X(a[0]), Y(a[1])], [X(b[0]), Y(b[1])]];
    const run = distance(p, q) || 1;
    const high = Math.min(70, Math.max(30, run * 0.4));
    const joint = [1, -1].map((side) => [(p[0] + q[0]) / 2 + (side * high * (q[1] - p[1])) / run,
        (p[1] + q[1]) / 2 - (side * high * (q[0] - p[0])) / run]);
    const room = ([x, y]) => Math.min(x - BORDER, view.width - BORDER - x, y - BORDER, view.height - BORDER - y);
    const [x, y] = room(joint[0]) >= room(joint[1]) ? joint[0] : joint[1];
    return [drawn('path', {class: 'leg', d: `M${p[0]} ${p[1]}L${x} ${y}L${q[0]} ${q[1]}`}),
        drawn('circle', {class: 'joint', cx: x, cy: y, r: 6}),
        label(x, y - 3, `${length(distance(a, b), 2)}, bearing ${bearing(a, b)}°`)];
}

function ghost({points, closed, words, dots}) {
    const d = points.map(([x, y], i) => `${i ? 'L' : 'M'}${X(x)} ${Y(y)}`).join('') + (closed ? 'Z' : '');
    const [x, y] = points[points.length - 1];
    return [drawn('path', {class: 'leg', d}),
        ...(dots ?? points).map(([px, py]) => drawn('circle', {class: 'joint', cx: X(px), cy: Y(py), r: 4})),
        words ? label(X(x), Y(y) - 10, words) : null];
}

function cross([x, y]) {
    const [px, py] = [X(x), Y(y)];
    return [drawn('path', {class: 'leg', d: `M${px - 14} ${py}h10m8 0h10M${px} ${py - 14}v10m0 8v10`}),
        label(px, py - 12, `${length(x)} east, ${length(y)} north`)];
}

const keep = (nodes) => nodes.flat().filter(Boolean);

function paint() {
    $('under').replaceChildren(...keep(state.spot ? spotMarks(state.spot) : []));
    const over = [];
    if (state.legs) over.push(dividers(state.legs));
    if (state.ghost) over.push(ghost(state.ghost));
    if (state.ruler) over.push(line(state.ruler.from, state.ruler.to, 'leg'), label(X(state.ruler.to[0]), Y(state.ruler.to[1]) + 22, state.ruler.words));
    if (state.cross) over.push(cross(state.cross));
    $('over').replaceChildren(...keep(over));
}

export function startOverlay() {
    watch(['view', 'hands', 'scene'], paint);
}
