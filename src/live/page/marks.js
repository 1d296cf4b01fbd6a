// What stands on the floor: land (obstacles, walls), zones with letter and verdict, the buoys of their worst spots.

import {ink} from './colours.js';
import {anchorRoom} from './labels.js';
import {commonHeight} from './moves.js';
import {box, inside} from './plane.js';
import {state} from './state.js';
import {X, Y, view} from './view.js';

const FULL = 7; // pixels a metre from which verdicts are words and every worst spot has its buoy
const STAMPS = {margin: '✓ met with margin', met: '✓ met', missed: '✗ NOT MET', undecided: '? undecided', none: ''};

export function trace(pen, points, closed = true) {
    pen.beginPath();
    points.forEach(([x, y], i) => (i ? pen.lineTo(X(x), Y(y)) : pen.moveTo(X(x), Y(y))));
    if (closed) pen.closePath();
}

function haloed(pen, text, x, y, colour, ground) {
    pen.lineWidth = 4;
    pen.lineJoin = 'round';
    pen.strokeStyle = ground;
    pen.strokeText(text, x, y);
    pen.fillStyle = colour;
    pen.fillText(text, x, y);
}

function paintObstacle(pen, obstacle) {
    trace(pen, obstacle.polygon);
    if (!obstacle.overhead) {
        pen.fillStyle = ink.land;
        pen.fill();
    }
    pen.strokeStyle = ink['land-ink'];
    pen.lineWidth = 1.1;
    pen.setLineDash(obstacle.overhead ? [2, 3] : []);
    pen.stroke();
    pen.setLineDash([]);
    const [x0, y0, x1, y1] = box(obstacle.polygon);
    const [wide, deep] = [(x1 - x0) * view.scale, (y1 - y0) * view.scale];
    pen.font = `12.5px ${ink.figures}`;
    const name = obstacle.name + (obstacle.overhead ? ' (overhead)' : '');
    const size = pen.measureText(name).width;
    if (deep < 13 || wide < size + 4) return;
    const [x, y] = [X((x0 + x1) / 2), Y((y0 + y1) / 2)];
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    if (obstacle.overhead) haloed(pen, name, x, y, ink['land-ink'], ink.paper);
    else {
        pen.fillStyle = ink['land-ink'];
        pen.fillText(name, x, y);
    }
}

export function paintLand(pen) {
    for (const obstacle of state.scene.obstacles ?? []) paintObstacle(pen, obstacle);
    pen.strokeStyle = ink['land-ink'];
    pen.lineJoin = 'miter';
    pen.lineCap = 'butt';
    for (const wall of state.scene.walls ?? []) {
        pen.lineWidth = Math.max(3, wall.thickness * view.scale);
        trace(pen, wall.points, false);
        pen.stroke();
    }
}

// Names of things overhead stand on water, where soundings keep off them.
export const landLabels = (pen) => {
    pen.font = `12.5px ${ink.figures}`;
    return (state.scene.obstacles ?? []).filter((obstacle) => obstacle.overhead).map((obstacle) => {
        const [x0, y0, x1, y1] = box(obstacle.polygon);
        const half = pen.measureText(`${obstacle.name} (overhead)`).width / 2;
        const [x, y] = [X((x0 + x1) / 2), Y((y0 + y1) / 2)];
        return [x - half, y - 7, x + half, y + 7];
    });
};

export const answerOf = (zone) => state.answer?.zones?.find((answer) => answer.name === zone.name) ?? null;

const meets = (one, other) => one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3];

// Rectangles of the plan that letters of zones keep off: anchors with their names, land, names overhead.
function takenByOthers(pen) {
    const usual = commonHeight();
    const taken = (state.scene.anchors ?? []).map((anchor) => anchorRoom(anchor, usual));
    for (const obstacle of state.scene.obstacles ?? []) {
        const [x0, y0, x1, y1] = box(obstacle.polygon);
        if (obstacle.overhead) {
            const half = pen.measureText(obstacle.name).width / 2 + 32;
            const [x, y] = [X((x0 + x1) / 2), Y((y0 + y1) / 2)];
            taken.push([x - half, y - 8, x + half, y + 8]);
        } else {
            taken.push([X(x0), Y(y1), X(x1), Y(y0)]);
        }
    }
    return taken;
}

// A zone's letter stands near its upper left, with its verdict inside it, aside from anchors and land; where that
// cannot be, as near to its corner as it can.
function letterPlace(zone, size, taken) {
    const [x0, y0, x1, y1] = box(zone.polygon);
    const inset = 14 / view.scale;
    const step = 6 / view.scale;
    for (let y = y1 - inset; y > y0 + inset / 2; y -= step) {
        for (let x = x0 + inset; x + size / view.scale < x1; x += step) {
            if (!inside(zone.polygon, x, y)) continue;
            const [a, b] = [X(x), Y(y)];
            if (!taken.some((one) => meets(one, [a - 13, b - 12, a + size, b + 12]))) return [a, b];
        }
    }
    return [X(Math.min(x0 + inset, (x0 + x1) / 2)), Y(Math.max(y1 - inset, (y0 + y1) / 2))];
}

// The verdict beside a letter: words where there is room, else the mark alone.
function verdictOf(zone) {
    const answer = answerOf(zone);
    if (!answer || answer.mark === 'none') return null;
    const [x0, , x1] = box(zone.polygon);
    const wide = (x1 - x0) * view.scale;
    if (wide < 40) return null;
    const words = STAMPS[answer.mark] ?? '';
    const colour = answer.mark === 'missed' ? ink.need : answer.mark === 'undecided' ? ink.ink : ink.good;
    return {text: view.scale < FULL || wide < 110 ? words.slice(0, 1) : words, colour};
}

// Where each zone's letter stands, with the verdict beside it.
export function zoneLabels(pen) {
    pen.font = `700 12px ${ink.figures}`;
    const taken = takenByOthers(pen);
    return (state.scene.zones ?? []).map((zone) => {
        const verdict = verdictOf(zone);
        const size = 17 + (verdict ? pen.measureText(verdict.text).width : 0);
        const [x, y] = letterPlace(zone, size, taken);
        const room = [x - 13, y - 12, x + size, y + 12];
        taken.push(room);
        return {zone, verdict, x, y, room};
    });
}

function paintZone(pen, {zone, verdict, x, y}) {
    pen.setLineDash([9, 4]);
    pen.strokeStyle = ink.ink;
    pen.lineWidth = 1;
    trace(pen, zone.polygon);
    pen.stroke();
    pen.setLineDash([]);
    const missed = answerOf(zone)?.mark === 'missed';
    pen.beginPath();
    pen.arc(x, y, 9, 0, 7);
    pen.fillStyle = missed ? ink.need : ink.paper;
    pen.strokeStyle = missed ? ink.need : ink.ink;
    pen.fill();
    pen.stroke();
    if (zone.tag !== undefined && zone.tag !== state.scene.tag) { // its verdict is of another tag than the chart
        pen.setLineDash([4, 3]);
        pen.beginPath();
        pen.arc(x, y, 12, 0, 7);
        pen.stroke();
        pen.setLineDash([]);
    }
    pen.font = `700 12px ${ink.figures}`;
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    pen.fillStyle = missed ? ink.paper : ink.ink;
    pen.fillText(zone.letter, x, y + 0.5);
    if (!verdict) return;
    pen.textAlign = 'left';
    haloed(pen, verdict.text, x + 16, y, verdict.colour, ink.paper);
}

// The worst spot of a zone: a buoy, its spar leaning to the free side; two discs where the need is missed, one
// open ring where it is met.
function paintBuoy(pen, answer) {
    const [x, y] = [X(answer.worst_at[0]), Y(answer.worst_at[1])];
    const lean = x > view.width - 60 ? -1 : 1;
    const missed = answer.mark === 'missed';
    const shape = () => {
        pen.beginPath();
        pen.moveTo(x - 7, y);
        pen.lineTo(x - 3, y);
        pen.moveTo(x + 3, y);
        pen.lineTo(x + 7, y);
        pen.moveTo(x + 3, y);
        pen.arc(x, y, 3, 0, 7);
        pen.moveTo(x + lean, y - 3);
        pen.lineTo(x + 4 * lean, y - 12);
        pen.stroke();
    };
    const tops = missed ? [[5, -14], [6.6, -19]] : [[5, -15.5]];
    pen.strokeStyle = ink.paper;
    pen.lineWidth = 5;
    shape();
    pen.strokeStyle = missed ? ink.need : ink.ink;
    pen.lineWidth = 1.6;
    shape();
    for (const [dx, dy] of tops) {
        pen.beginPath();
        pen.arc(x + dx * lean, y + dy, 2.7, 0, 7);
        pen.fillStyle = missed ? ink.need : ink.paper;
        pen.lineWidth = missed ? 1 : 1.4;
        pen.strokeStyle = missed ? ink.paper : ink.ink;
        pen.fill();
        pen.stroke();
    }
}

export function paintZones(pen, labels) {
    for (const label of labels) paintZone(pen, label);
    for (const answer of state.answer?.zones ?? []) {
        const worth = answer.mark === 'missed' || (answer.mark !== 'none' && view.scale >= FULL);
        if (answer.worst_at && worth) paintBuoy(pen, answer);
    }
}
