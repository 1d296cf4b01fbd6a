// Where the floor lies on the plan: scale and origin, in pixels of the page.

import {$} from './dom.js';
import {box} from './plane.js';
import {hasFloor, state, tell} from './state.js';

export const BORDER = 20; // the neat line's room on each side
const MARGIN = 12;

export const view = {width: 0, height: 0, scale: 10, x0: 0, y0: 0, ratio: 1};

export const X = (x) => view.x0 + x * view.scale;
export const Y = (y) => view.y0 - y * view.scale;
export const toFloor = (x, y) => [(x - view.x0) / view.scale, (view.y0 - y) / view.scale];

export const within = (x, y, spare = 0) =>
    x >= BORDER - spare && y >= BORDER - spare && x <= view.width - BORDER + spare && y <= view.height - BORDER + spare;

// What lies on the table: the floor, else what was laid down for it to be drawn on.
export function extent() {
    if (hasFloor()) return {low: state.scene.low, high: state.scene.high};
    const corners = state.picture?.corners() ?? [[0, 0], [72, 38]];
    const [x0, y0, x1, y1] = box(corners);
    return {low: [x0, y0], high: [x1, y1]};
}

let fitted = true;

export function fit() {
    const {low, high} = extent();
    const [wide, deep] = [high[0] - low[0], high[1] - low[1]];
    const room = 2 * (BORDER + MARGIN);
    view.scale = Math.max(0.01, Math.min((view.width - room) / wide, (view.height - room) / deep));
    view.x0 = (view.width - wide * view.scale) / 2 - low[0] * view.scale;
    view.y0 = (view.height + deep * view.scale) / 2 + low[1] * view.scale;
    fitted = true;
    tell('view');
}

export function measure() {
    const room = $('plan').getBoundingClientRect();
    view.ratio = window.devicePixelRatio || 1;
    const [width, height] = [Math.round(room.width), Math.round(room.height)];
    if (width === view.width && height === view.height) return;
    const middle = toFloor(view.width / 2, view.height / 2);
    const first = view.width === 0;
    view.width = width;
    view.height = height;
    if (fitted || first) {
        fit();
    } else {
        view.x0 = width / 2 - middle[0] * view.scale;
        view.y0 = height / 2 + middle[1] * view.scale;
        tell('view');
    }
}

export function pan(dx, dy) {
    view.x0 += dx;
    view.y0 += dy;
    fitted = false;
    tell('view');
}

// The floor under (x, y) stays there.
export function zoom(factor, x = view.width / 2, y = view.height / 2) {
    const scale = Math.min(400, Math.max(0.2, view.scale * factor));
    const true_factor = scale / view.scale;
    view.x0 = x - (x - view.x0) * true_factor;
    view.y0 = y - (y - view.y0) * true_factor;
    view.scale = scale;
    fitted = false;
    tell('view');
}

// Brings a spot into sight, if it is not.
export function show(at) {
    const [x, y] = [X(at[0]), Y(at[1])];
    if (!within(x, y)) pan(view.width / 2 - x, view.height / 2 - y);
}
