// The client's picture of the plan, laid under the chart and scaled by two points of known distance. It is
// decoded here only; the program keeps its bytes.

import {$, el} from './dom.js';
import {lost} from './edits.js';
import {distance} from './plane.js';
import {fields, lay, takeAway} from './slip.js';
import {hasFloor, state, tell} from './state.js';
import {metres, parse, unit} from './units.js';
import {bytes} from './wire.js';
import {fit, toFloor, view} from './view.js';

const MOST = 16 * 1024 * 1024;
const KINDS = ['image/png', 'image/jpeg', 'image/svg+xml'];
const UNSCALED = 60; // metres that a picture is taken to be wide until it is scaled

function decode(blob) {
    return new Promise((done, failed) => {
        const image = new Image();
        image.onload = () => done(image);
        image.onerror = () => failed(new Error('this picture cannot be read'));
        image.src = URL.createObjectURL(blob);
    });
}

function refuse(words) {
    lay({kind: 'refused', title: 'This picture cannot be used', body: [el('p', {}, words)], grave: true});
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
        if (points.length < 2 || !far || far <= 0) return;
        const times = far / distance(...points);
        state.picture = {...state.picture, scale: state.picture.scale * times, x: 0, y: 0};
        takeAway();
        fit();
        tell('view', 'hands');
    };
    const mark = (event) => {
        const room = plan.getBoundingClientRect();
        if (points.length === 2) points.length = 0;
        points.push(toFloor(event.clientX - room.left, event.clientY - room.top));
        state.ghost = {points: [...points], closed: false, words: points.length === 2 ? 'how far?' : 'and another'};
        tell('hands');
        if (points.length === 2) form.first.focus();
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

async function lieUnder(blob) {
    const image = await decode(blob);
    const scale = metres(UNSCALED) / image.naturalWidth;
    state.picture = {image, scale, x: 0, y: 0};
    if (!hasFloor()) fit();
    tell('view', 'scene');
}

async function taken(file) {
    if (!KINDS.includes(file.type)) return refuse('It must be a PNG, JPEG or SVG file.');
    if (file.size > MOST) return refuse('It is larger than 16 MiB.');
    try {
        await lieUnder(file);
    } catch (trouble) {
        return refuse(`${trouble.message}.`);
    }
    askScale();
    return bytes('POST', '/picture', file, file.type).catch(lost);
}

export const choosePicture = () => $('picture-file').click();

export function startPicture() {
    const input = $('picture-file');
    input.accept = KINDS.join(',');
    input.addEventListener('change', () => {
        if (input.files[0]) taken(input.files[0]);
        input.value = '';
    });
}
