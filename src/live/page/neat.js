// The neat line: a graduated border whose marks follow pan and zoom. It stands for scale bar and coordinates.

import {ink} from './colours.js';
import {shown, metres} from './units.js';
import {BORDER, X, Y, toFloor, view} from './view.js';

const LEAST = 70; // pixels between two figures
const CORNER = 12; // no figure nearer to a corner

export function graduation(scale, least = LEAST) {
    const wanted = shown(least / scale);
    const decade = 10 ** Math.floor(Math.log10(wanted));
    const times = [1, 2, 5, 10].find((t) => t * decade >= wanted * (1 - 1e-9));
    return times * decade;
}

const figure = (value, step) => (step < 1 ? value.toFixed(Math.ceil(-Math.log10(step))) : String(Math.round(value))).replace('-', '−');

function across(pen, step) {
    const {width, height} = view;
    const [first, last] = [shown(toFloor(BORDER, 0)[0]), shown(toFloor(width - BORDER, 0)[0])];
    for (let n = Math.floor(first / step); n <= Math.ceil(last / step); n++) {
        const at = X(metres(n * step));
        const [a, b] = [Math.max(BORDER, at), Math.min(width - BORDER, X(metres((n + 1) * step)))];
        if (n % 2 === 0 && b > a) {
            pen.fillRect(a, BORDER - 5, b - a, 4);
            pen.fillRect(a, height - BORDER + 1, b - a, 4);
        }
        if (at < BORDER + CORNER || at > width - BORDER - CORNER) continue;
        pen.fillText(figure(n * step, step), at, 8);
        pen.fillText(figure(n * step, step), at, height - 6.5);
    }
}

function upright(pen, step) {
    const {width, height} = view;
    const [first, last] = [shown(toFloor(0, height - BORDER)[1]), shown(toFloor(0, BORDER)[1])];
    for (let n = Math.floor(first / step); n <= Math.ceil(last / step); n++) {
        const at = Y(metres(n * step));
        const [a, b] = [Math.max(BORDER, Y(metres((n + 1) * step))), Math.min(height - BORDER, at)];
        if (n % 2 === 0 && b > a) {
            pen.fillRect(BORDER - 5, a, 4, b - a);
            pen.fillRect(width - BORDER + 1, a, 4, b - a);
        }
        if (at < BORDER + CORNER || at > height - BORDER - CORNER) continue;
        for (const x of [7.5, width - 7]) {
            pen.save();
            pen.translate(x, at);
            pen.rotate(-Math.PI / 2);
            pen.fillText(figure(n * step, step), 0, 0);
            pen.restore();
        }
    }
}

export function paintNeatLine(pen) {
    const {width, height, scale} = view;
    const step = graduation(scale);
    pen.fillStyle = ink.paper;
    pen.fillRect(0, 0, width, BORDER);
    pen.fillRect(0, height - BORDER, width, BORDER);
    pen.fillRect(0, 0, BORDER, height);
    pen.fillRect(width - BORDER, 0, BORDER, height);
    pen.strokeStyle = ink.ink;
    pen.fillStyle = ink.ink;
    pen.lineWidth = 1;
    pen.strokeRect(0.5, 0.5, width - 1, height - 1);
    pen.strokeRect(BORDER - 5.5, BORDER - 5.5, width - 2 * BORDER + 11, height - 2 * BORDER + 11);
    pen.lineWidth = 1.6;
    pen.strokeRect(BORDER, BORDER, width - 2 * BORDER, height - 2 * BORDER);
    pen.font = `11px ${ink.figures}`;
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    across(pen, step);
    upright(pen, step);
}
