// Snapping: mounting lines, whole half metres from walls, and a grid of a tenth. Alt suspends it.

import {distance, foot, sides} from './plane.js';
import {state} from './state.js';
import {length, metres, shown} from './units.js';
import {view} from './view.js';

const NEAR = 8; // pixels
const REACH = 6; // pixels to a whole distance from a wall
const FAR = 5; // metres beyond which no wall is measured from

const toGrid = (value) => metres(Math.round(shown(value) * 10) / 10);

function* faces() {
    for (const side of sides(state.scene.outline ?? [])) yield {side, half: 0};
    for (const wall of state.scene.walls ?? []) {
        for (const side of sides(wall.points, false)) yield {side, half: wall.thickness / 2};
    }
}

function onMounting(at) {
    for (const line of state.scene.mounting ?? []) {
        for (const [a, b] of sides(line.points, false)) {
            const {at: p, t} = foot(a, b, at);
            if (distance(p, at) * view.scale > NEAR) continue;
            const high = a.length > 2 ? a[2] + t * (b[2] - a[2]) : null;
            return {at: p, height: high, ruler: {from: p, to: p, words: `on ${line.name ?? 'a mounting line'}`}};
        }
    }
    return null;
}

function fromWall(at) {
    let nearest = null;
    for (const {side, half} of faces()) {
        const {at: p} = foot(side[0], side[1], at);
        const off = distance(p, at);
        if (off <= FAR && (!nearest || off < nearest.off)) nearest = {p, off, half};
    }
    if (!nearest || nearest.off < 1e-6) return null;
    const {p, off, half} = nearest;
    const face = off - half;
    const whole = metres(Math.round(shown(face) * 2) / 2);
    if (whole < 0 || Math.abs(whole - face) * view.scale > REACH) return null;
    const t = (whole + half) / off;
    const to = [p[0] + (at[0] - p[0]) * t, p[1] + (at[1] - p[1]) * t];
    return {at: to, ruler: {from: p, to, words: `${length(whole)} from the wall`}};
}

// Where a hand at `at` puts a thing: {at, height, ruler}.
export function snapped(at, free) {
    if (free || !state.scene) return {at, height: null, ruler: null};
    const line = onMounting(at);
    if (line) return line;
    const wall = fromWall(at);
    if (wall) return {...wall, height: null};
    return {at: [toGrid(at[0]), toGrid(at[1])], height: null, ruler: null};
}
