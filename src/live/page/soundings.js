// Soundings: the p95 printed across the floor on a lattice fixed to the floor, so that they do not swim when it
// is panned; none where a name, a thing or an anchor stands.

import {classOf, ink} from './colours.js';
import {ready, valueAt} from './field.js';
import {anchorRoom} from './labels.js';
import {commonHeight} from './moves.js';
import {box} from './plane.js';
import {state} from './state.js';
import {metres, sounding} from './units.js';
import {X, Y, view, within} from './view.js';

const STEPS = [0.5, 1, 2, 2.5, 5, 10, 25, 50]; // of the lattice, in the file's unit
const APART = 38; // pixels, at least
const ROWS = 0.62; // of the step
const HALF = 15; // half of a figure's width
const HIGH = 8; // half of its height

// Rectangles on the plan that no sounding may touch.
function obstructions(labels) {
    const taken = labels.map(([x0, y0, x1, y1]) => [x0 - HALF, y0 - HIGH, x1 + HALF, y1 + HIGH]);
    const add = (points, spare) => {
        const [x0, y0, x1, y1] = box(points);
        taken.push([X(x0) - HALF - spare, Y(y1) - HIGH - spare, X(x1) + HALF + spare, Y(y0) + HIGH + spare]);
    };
    for (const obstacle of state.scene.obstacles ?? []) if (!obstacle.overhead) add(obstacle.polygon, 0);
    for (const wall of state.scene.walls ?? []) {
        for (let i = 1; i < wall.points.length; i++) add([wall.points[i - 1], wall.points[i]], 0);
    }
    const usual = commonHeight();
    for (const anchor of state.scene.anchors ?? []) {
        const [x0, y0, x1, y1] = anchorRoom(anchor, usual);
        taken.push([x0 - HALF, y0 - HIGH, x1 + HALF, y1 + HIGH]);
    }
    return taken;
}

export function paintSoundings(pen, labels) {
    if (!ready.values) return;
    const {low, high} = state.scene;
    const step = metres(STEPS.find((s) => metres(s) * view.scale >= APART) ?? 100);
    const taken = obstructions(labels);
    pen.font = `italic 12px ${ink.figures}`;
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    pen.lineWidth = 3.5;
    pen.lineJoin = 'round';
    for (let row = Math.floor(low[1] / (step * ROWS)); row * step * ROWS < high[1]; row++) {
        const y = (row + 0.6) * step * ROWS;
        const shift = row % 2 === 0 ? 0.5 : 1;
        for (let column = Math.floor(low[0] / step); column * step < high[0]; column++) {
            const x = (column + shift) * step;
            const value = valueAt(x, y);
            if (!(value > 0 && value < Infinity)) continue;
            const [a, b] = [X(x), Y(y)];
            if (!within(a, b, -HIGH)) continue;
            if (taken.some(([x0, y0, x1, y1]) => a > x0 && a < x1 && b > y0 && b < y1)) continue;
            const kind = classOf(value);
            pen.strokeStyle = ink.tints[kind];
            pen.fillStyle = ink.figureOn[kind];
            const text = sounding(value);
            pen.strokeText(text, a, b);
            pen.fillText(text, a, b);
        }
    }
}
