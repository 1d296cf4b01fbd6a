// The canvas: paper, water, land, zones and neat line, in the order in which a chart is printed.

import {$} from './dom.js';
import {ink} from './colours.js';
import {needContour, prepare, ready} from './field.js';
import {landLabels, paintLand, paintZones, trace, zoneLabels} from './marks.js';
import {paintNeatLine} from './neat.js';
import {paintPicture} from './picture.js';
import {box, inside} from './plane.js';
import {paintSoundings} from './soundings.js';
import {hasFloor, state, watch} from './state.js';
import {BORDER, X, Y, view} from './view.js';

const canvas = $('chart');
const pen = canvas.getContext('2d');
let hatch = null;
let stipple = null;

function pattern(draw) {
    const tile = document.createElement('canvas');
    tile.width = tile.height = 7;
    draw(tile.getContext('2d'));
    return pen.createPattern(tile, 'repeat');
}

function mixPatterns() {
    hatch = pattern((tile) => {
        tile.fillStyle = ink['nofix-ground'];
        tile.fillRect(0, 0, 7, 7);
        tile.strokeStyle = ink.nofix;
        tile.lineWidth = 1;
        for (const [x0, y0, x1, y1] of [[-1, 8, 8, -1], [-1, 1, 1, -1], [6, 8, 8, 6]]) {
            tile.moveTo(x0, y0);
            tile.lineTo(x1, y1);
        }
        tile.stroke();
    });
    stipple = pattern((tile) => {
        tile.fillStyle = ink.need;
        tile.globalAlpha = 0.8;
        tile.fillRect(1, 1, 1.4, 1.4);
        tile.fillRect(4.5, 4.5, 1.4, 1.4);
    });
}

const ownZones = () => (state.scene.zones ?? []).filter(
    (zone) => zone.need_p95_m !== undefined && (zone.tag === undefined || zone.tag === state.scene.tag));

function paintGrid() {
    pen.strokeStyle = ink.rule;
    pen.lineWidth = 0.5;
    pen.beginPath();
    const step = 5 * view.scale;
    for (let x = X(0) % step; x < view.width; x += step) {
        pen.moveTo(x, 0);
        pen.lineTo(x, view.height);
    }
    for (let y = Y(0) % step; y < view.height; y += step) {
        pen.moveTo(0, y);
        pen.lineTo(view.width, y);
    }
    pen.stroke();
}

// Dots where single places are over the need of the zone they lie in.
function stippleMissed() {
    const {grid, values} = ready;
    pen.fillStyle = stipple;
    pen.beginPath();
    const size = grid.step * view.scale + 0.3;
    for (const zone of ownZones()) {
        const [x0, y0, x1, y1] = box(zone.polygon);
        const first = Math.max(0, Math.floor((y0 - grid.y0) / grid.step));
        const last = Math.min(grid.ny - 1, Math.floor((y1 - grid.y0) / grid.step));
        const left = Math.max(0, Math.floor((x0 - grid.x0) / grid.step));
        const right = Math.min(grid.nx - 1, Math.floor((x1 - grid.x0) / grid.step));
        for (let row = first; row <= last; row++) {
            for (let column = left; column <= right; column++) {
                if (!(values[row * grid.nx + column] > zone.need_p95_m)) continue;
                const [x, y] = [grid.x0 + (column + 0.5) * grid.step, grid.y0 + (row + 0.5) * grid.step];
                if (inside(zone.polygon, x, y)) pen.rect(X(x) - size / 2, Y(y) - size / 2, size, size);
            }
        }
    }
    pen.fill();
}

// Paths in metres become paths of the page, so that lines keep their width at every scale.
function toPage(path) {
    const out = new Path2D();
    out.addPath(path, new DOMMatrix([view.scale, 0, 0, -view.scale, view.x0, view.y0]));
    return out;
}

function needLines() {
    for (const zone of ownZones()) {
        pen.save();
        trace(pen, zone.polygon);
        pen.clip();
        const line = toPage(needContour(zone.need_p95_m));
        pen.lineCap = 'round';
        pen.strokeStyle = ink.paper;
        pen.lineWidth = 4.5;
        pen.stroke(line);
        pen.strokeStyle = ink.need;
        pen.lineWidth = 2;
        pen.stroke(line);
        pen.restore();
    }
}

function paintWater() {
    const {grid, picture} = ready;
    const [wide, deep] = [grid.nx * grid.step * view.scale, grid.ny * grid.step * view.scale];
    pen.save();
    trace(pen, state.scene.outline);
    pen.clip();
    pen.fillStyle = hatch;
    pen.fillRect(X(grid.x0), Y(grid.y0) - deep, wide, deep);
    pen.imageSmoothingEnabled = false;
    pen.drawImage(picture, X(grid.x0), Y(grid.y0) - deep, wide, deep);
    stippleMissed();
    pen.lineWidth = 0.7;
    pen.strokeStyle = ink.ink;
    pen.globalAlpha = 0.55;
    for (const path of ready.contours) pen.stroke(toPage(path));
    pen.globalAlpha = 1;
    needLines();
    pen.restore();
}

function paintFloor() {
    if (ready.values) paintWater();
    if (state.picture) paintPicture(pen, Boolean(ready.values));
    const labels = zoneLabels(pen);
    if (ready.values) paintSoundings(pen, [...landLabels(pen), ...labels.map(({room}) => room)]);
    paintLand(pen);
    pen.strokeStyle = ink.ink;
    pen.lineWidth = 1.8;
    trace(pen, state.scene.outline);
    pen.stroke();
    paintZones(pen, labels);
}

function sizeCanvas() {
    const [width, height] = [Math.round(view.width * view.ratio), Math.round(view.height * view.ratio)];
    if (canvas.width !== width || canvas.height !== height) {
        canvas.width = width;
        canvas.height = height;
    }
}

function paintChart(topics) {
    if (!view.width) return;
    if (topics.has('field') || topics.has('scene')) prepare(state.field, state.scene?.grid);
    if (!hatch || topics.has('scene')) mixPatterns();
    sizeCanvas();
    pen.setTransform(view.ratio, 0, 0, view.ratio, 0, 0);
    pen.fillStyle = ink.paper;
    pen.fillRect(0, 0, view.width, view.height);
    pen.save();
    pen.beginPath();
    pen.rect(BORDER, BORDER, view.width - 2 * BORDER, view.height - 2 * BORDER);
    pen.clip();
    if (hasFloor()) {
        paintFloor();
    } else {
        paintGrid();
        if (state.picture) paintPicture(pen, Boolean(ready.values));
    }
    pen.restore();
    paintNeatLine(pen);
}

export function startChart() {
    watch(['view', 'field', 'scene', 'answer'], paintChart);
}
