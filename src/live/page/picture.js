// The client's plan as a picture, laid pale under the chart and scaled by two points of known distance. The
// program keeps its bytes and hands it back as PNG, whatever it came as.

import {$, el} from './dom.js';
import {lost, step} from './edits.js';
import {distance} from './plane.js';
import {fields, lay, takeAway} from './slip.js';
import {hasFloor, readOnly, state, tell, watch} from './state.js';
import {parse, tidy, unit} from './units.js';
import {bytes} from './wire.js';
import {X, Y, fit, toFloor, view} from './view.js';

const MOST = 16 * 1024 * 1024;
const KINDS = {png: 'image/png', jpg: 'image/jpeg', jpeg: 'image/jpeg', svg: 'image/svg+xml', pdf: 'application/pdf'};
const UNSCALED = 60; // metres that a picture is taken to be wide until it is scaled

// How a point of the picture (px to the right, py down) comes to the floor: turned, scaled, shifted.
function laying([[px, py, x, y], [qx, qy, u, v]]) {
    const [dx, dy, ex, ey] = [qx - px, -(qy - py), u - x, v - y];
    const square = dx * dx + dy * dy;
    const turn = [(ex * dx + ey * dy) / square, (ey * dx - ex * dy) / square];
    return {turn, shift: [x - turn[0] * px - turn[1] * py, y - turn[1] * px + turn[0] * py]};
}

function pictureCorners() {
    const {size, points} = state.picture;
    const {turn: [a, b], shift} = laying(points);
    return [[0, 0], [size[0], 0], size, [0, size[1]]].map(([px, py]) => [a * px + b * py + shift[0], b * px - a * py + shift[1]]);
}

// From a place on the floor back to the point of the picture that lies there.
function onPicture([x, y]) {
    const {turn: [a, b], shift} = laying(state.picture.points);
    const [u, v, square] = [x - shift[0], y - shift[1], a * a + b * b];
    return [(a * u + b * v) / square, (b * u - a * v) / square];
}

export function paintPicture(pen, pale) {
    const {image, size, points} = state.picture;
    const {turn: [a, b], shift} = laying(points);
    pen.save();
    pen.globalAlpha = pale ? 0.35 : 0.9;
    pen.transform(view.scale * a, -view.scale * b, view.scale * b, view.scale * a, X(shift[0]), Y(shift[1]));
    pen.drawImage(image, 0, 0, size[0], size[1]);
    pen.restore();
}

function refuse(words) {
    lay({kind: 'refused', title: 'This picture cannot be used', body: [el('p', {}, words)], grave: true});
}

function decode(blob) {
    return new Promise((done, failed) => {
        const image = new Image();
        const address = URL.createObjectURL(blob);
        image.onload = () => {
            URL.revokeObjectURL(address);
            done(image);
        };
        image.onerror = () => failed(new Error('The picture cannot be shown.'));
        image.src = address;
    });
}

async function fetchPicture(file, points) {
    const reply = await bytes('GET', '/picture');
    if (!reply.ok) throw new Error('The program has no picture.');
    const image = await decode(reply.blob);
    const size = (reply.size ?? '').split(' ').map(Number);
    if (size.length !== 2 || !size.every((side) => side > 0)) throw new Error('The picture has no size.');
    state.picture = {image, file, size, points: points ?? [[0, size[1], 0, 0], [size[0], size[1], UNSCALED, 0]], scaled: Boolean(points), laid: Boolean(points), corners: pictureCorners};
    if (!hasFloor()) fit();
    tell('view', 'scene');
}

// The picture is part of the floor: with one it is a step of its own, else it goes with the outline.
function keepScaled() {
    if (hasFloor()) step([{op: 'set', at: ['floor', 'picture'], value: pictureValue()}]);
}

export function pictureValue() {
    if (!state.picture?.scaled) return undefined;
    return {file: state.picture.file, points: state.picture.points.map((point) => point.map(tidy))};
}

function scaleBy(points, far) {
    const [p, q] = points;
    const times = far / distance(p, q);
    const at = hasFloor() ? p : [p[0] * times, p[1] * times]; // on a floor the first point stays where it is
    const end = [at[0] + (q[0] - p[0]) * times, at[1] + (q[1] - p[1]) * times];
    state.picture = {...state.picture, scaled: true, points: [[...onPicture(p), ...at], [...onPicture(q), ...end]]};
    takeAway();
    if (!hasFloor()) fit();
    tell('view', 'hands', 'scene');
    keepScaled();
}

// Two taps on the picture, then the distance between them.
function askScale() {
    const points = [];
    const plan = $('overlay');
    const ends = new AbortController();
    const form = fields([{name: 'far', words: 'They are apart', value: '', unit: unit()}]);
    const put = (event) => {
        event.preventDefault();
        const far = parse(form.first.value);
        if (points.length === 2 && far > 0 && distance(...points) > 0) scaleBy(points, far);
    };
    const mark = (event) => {
        const room = plan.getBoundingClientRect();
        if (points.length === 2) points.length = 0;
        points.push(toFloor(event.clientX - room.left, event.clientY - room.top));
        state.ghost = {points: [...points], closed: false, words: points.length === 2 ? 'how far?' : 'and another'};
        tell('hands');
        if (points.length === 2) form.first.focus();
        event.preventDefault();
        event.stopPropagation();
    };
    lay({
        kind: 'scale', title: 'How large is it?', about: toFloor(view.width / 2, view.height / 2),
        body: [el('p', {}, 'Touch two points whose distance you know, then write the distance.'),
            el('form', {on: {submit: put}}, ...form.lines, el('button', {class: 'btn strong'}, 'Scale the picture'))],
        closed: () => {
            ends.abort();
            state.ghost = null;
        },
    });
    plan.addEventListener('pointerdown', mark, {signal: ends.signal, capture: true});
}

async function taken(file) {
    const kind = KINDS[file.name.toLowerCase().split('.').pop()];
    if (!kind) return refuse('It must be a PNG, JPEG, SVG or PDF file.');
    if (file.size > MOST) return refuse('It is larger than 16 MiB.');
    try {
        const kept = await bytes('POST', '/picture', file, kind);
        const answer = JSON.parse(await kept.blob.text());
        if (!kept.ok) return refuse(`${answer.error}.`);
        await fetchPicture(answer.file);
        return askScale();
    } catch (trouble) {
        if (trouble.constructor === Error) return refuse(trouble.message);
        return lost(trouble);
    }
}

export const choosePicture = () => {
    if (!readOnly()) $('picture-file').click();
};

// Follows the scenario: its picture is fetched once, laid anew when its points change, taken away when it goes.
async function follow() {
    const told = state.scene?.picture;
    if (!told) {
        if (state.picture?.laid) { // a step back took it away
            state.picture = null;
            tell('view');
        }
        return;
    }
    if (state.picture?.file === told.file) {
        state.picture = {...state.picture, points: told.points, scaled: true, laid: true};
        return;
    }
    state.picture = null;
    try {
        await fetchPicture(told.file, told.points);
    } catch (trouble) {
        if (trouble.constructor !== Error) lost(trouble);
    }
}

export function startPicture() {
    const input = $('picture-file');
    input.accept = Object.keys(KINDS).map((end) => `.${end}`).join(',');
    input.addEventListener('change', () => {
        if (input.files[0]) taken(input.files[0]);
        input.value = '';
    });
    watch(['scene'], follow);
}
