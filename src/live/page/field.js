// The field of p95 made ready to be painted: tints in a picture of its own, and contours as paths in metres.
// NaN is no floor, +Inf is no p95; both are left open and taken from the nearest cell, never smoothed away.

import {CLASSES, ink, pixel} from './colours.js';

const FEW_CELLS = 40000; // above it two pixels a cell do

const picture = document.createElement('canvas');
const pen = picture.getContext('2d');
let data = null; // its pixels, kept as long as its size stays

export const ready = {picture, contours: [], smooth: null, grid: null, values: null};

const solid = (value) => value > 0 && value < Infinity;

// Mean of log p95 over three by three cells, where they have one.
function smoothed(values, nx, ny) {
    const logs = new Float32Array(values.length);
    const out = new Float32Array(values.length);
    for (let i = 0; i < values.length; i++) logs[i] = solid(values[i]) ? Math.log(values[i]) : NaN;
    for (let row = 0, i = 0; row < ny; row++) {
        for (let column = 0; column < nx; column++, i++) {
            if (Number.isNaN(logs[i])) {
                out[i] = NaN;
                continue;
            }
            let sum = 0;
            let n = 0;
            for (let y = Math.max(0, row - 1); y <= Math.min(ny - 1, row + 1); y++) {
                for (let x = Math.max(0, column - 1); x <= Math.min(nx - 1, column + 1); x++) {
                    const value = logs[y * nx + x];
                    if (value === value) {
                        sum += value;
                        n++;
                    }
                }
            }
            out[i] = sum / n;
        }
    }
    return out;
}

// For each pixel along one axis: lower cell, weight of the upper, nearest cell.
function axis(pixels, cells, up, flipped) {
    const table = {low: new Int32Array(pixels), part: new Float32Array(pixels), near: new Int32Array(pixels)};
    for (let p = 0; p < pixels; p++) {
        const at = ((flipped ? pixels - 1 - p : p) + 0.5) / up - 0.5;
        const low = Math.max(0, Math.min(cells - 2, Math.floor(at)));
        table.low[p] = low;
        table.part[p] = cells < 2 ? 0 : Math.max(0, Math.min(1, at - low));
        table.near[p] = Math.max(0, Math.min(cells - 1, Math.round(at)));
    }
    return table;
}

function tint(smooth, nx, ny) {
    const up = smooth.length > FEW_CELLS ? 2 : 4;
    const [width, height] = [nx * up, ny * up];
    if (!data || data.width !== width || data.height !== height) {
        picture.width = width;
        picture.height = height;
        data = pen.createImageData(width, height);
    }
    const pixels = new Uint32Array(data.data.buffer);
    const colours = ink.tints.map(pixel);
    const levels = CLASSES.map(Math.log);
    const across = axis(width, nx, up, false);
    const down = axis(height, ny, up, true);
    const right = nx > 1 ? 1 : 0;
    const above = ny > 1 ? nx : 0;
    for (let y = 0, p = 0; y < height; y++) {
        const base = down.low[y] * nx;
        const near = down.near[y] * nx;
        const v = down.part[y];
        for (let x = 0; x < width; x++, p++) {
            const own = smooth[near + across.near[x]];
            if (own !== own) {
                pixels[p] = 0;
                continue;
            }
            const q = base + across.low[x];
            const u = across.part[x];
            const mixed = (smooth[q] * (1 - u) + smooth[q + right] * u) * (1 - v) +
                (smooth[q + above] * (1 - u) + smooth[q + above + right] * u) * v;
            const value = mixed === mixed ? mixed : own;
            let found = 0;
            while (found < levels.length && value > levels[found]) found++;
            pixels[p] = colours[found];
        }
    }
    pen.putImageData(data, 0, 0);
}

// Sides of a cell of four centres that a contour joins, by which corners lie above; saddles are cut twice.
const JOINS = [[], [3, 0], [0, 1], [3, 1], [1, 2], [3, 0, 1, 2], [0, 2], [3, 2], [2, 3], [2, 0], [0, 1, 2, 3], [2, 1], [1, 3],
    [1, 0], [0, 3], []];

// The line of one value, in metres of the floor.
export function contour(value) {
    const {smooth, grid} = ready;
    const path = new Path2D();
    if (!smooth) return path;
    const {nx, ny, step} = grid;
    const level = Math.log(value);
    for (let row = 0; row + 1 < ny; row++) {
        for (let column = 0; column + 1 < nx; column++) {
            const i = row * nx + column;
            const [a, b, c, d] = [smooth[i], smooth[i + 1], smooth[i + nx + 1], smooth[i + nx]];
            const sum = a + b + c + d;
            if (sum !== sum) continue;
            const joins = JOINS[(a > level) | ((b > level) << 1) | ((c > level) << 2) | ((d > level) << 3)];
            if (!joins.length) continue;
            const x = grid.x0 + (column + 0.5) * step;
            const y = grid.y0 + (row + 0.5) * step;
            for (let k = 0; k < joins.length; k++) {
                let [px, py] = [x, y];
                if (joins[k] === 0) px += (step * (level - a)) / (b - a);
                else if (joins[k] === 1) [px, py] = [x + step, y + (step * (level - b)) / (c - b)];
                else if (joins[k] === 2) [px, py] = [x + (step * (level - d)) / (c - d), y + step];
                else py += (step * (level - a)) / (d - a);
                if (k & 1) path.lineTo(px, py);
                else path.moveTo(px, py);
            }
        }
    }
    return path;
}

const needLines = new Map();

export function needContour(value) {
    if (!needLines.has(value)) needLines.set(value, contour(value));
    return needLines.get(value);
}

export function prepare(values, grid) {
    if (!values || !grid || values.length !== grid.nx * grid.ny) {
        Object.assign(ready, {values: null, smooth: null, contours: [], grid: null});
        return;
    }
    ready.values = values;
    ready.grid = grid;
    ready.smooth = smoothed(values, grid.nx, grid.ny);
    needLines.clear();
    tint(ready.smooth, grid.nx, grid.ny);
    ready.contours = CLASSES.map(contour);
}

// The p95 of the cell under a spot of the floor; NaN off the floor.
export function valueAt(x, y) {
    const {grid, values} = ready;
    if (!values) return NaN;
    const column = Math.floor((x - grid.x0) / grid.step);
    const row = Math.floor((y - grid.y0) / grid.step);
    return column < 0 || row < 0 || column >= grid.nx || row >= grid.ny ? NaN : values[row * grid.nx + column];
}
