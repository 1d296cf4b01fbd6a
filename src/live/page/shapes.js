// Drawing the site: walls, obstacles and zones, dragged or point by point; then a slip asks what the shape is.

import {el} from './dom.js';
import {step} from './edits.js';
import {freeName} from './moves.js';
import {pictureValue} from './picture.js';
import {distance} from './plane.js';
import {fields, lay, takeAway} from './slip.js';
import {snapped} from './snap.js';
import {hasFloor, readOnly, state, tell} from './state.js';
import {length, number, parse, tidy, unit} from './units.js';

const TAP = 5; // pixels
let points = []; // of the shape that is drawn point by point
let drawing = null;

const rectangle = (a, b) => [a, [b[0], a[1]], b, [a[0], b[1]]];
const rounded = (list) => list.map((point) => point.map(tidy));

const KINDS = {
    wall: {
        title: 'A wall', list: 'walls', prefix: 'wall ', least: 2, closed: false, dragged: (a, b) => [a, b],
        rows: () => [
            {name: 'material', words: 'Material', value: state.scene.materials?.[0], choices: state.scene.materials ?? []},
            {name: 'thickness', words: 'Thickness', value: number(0.15, 2), unit: unit()},
            {name: 'top', words: 'Up to', value: number(state.scene.ceiling), unit: unit()},
        ],
        value: (read, list) => ({path: list, material: read.material, thickness: read.thickness, top: read.top}),
    },
    obstacle: {
        title: 'An obstacle', list: 'obstacles', prefix: 'obstacle ', least: 3, closed: true, dragged: rectangle,
        rows: () => [
            {name: 'material', words: 'Material', value: state.scene.materials?.[0], choices: state.scene.materials ?? []},
            {name: 'base', words: 'From', value: number(0), unit: unit()},
            {name: 'top', words: 'Up to', value: number(Math.min(3, state.scene.ceiling)), unit: unit()},
        ],
        value: (read, list) => ({footprint: list, base: read.base, top: read.top, material: read.material}),
    },
    zone: {
        title: 'A zone', list: 'zones', prefix: 'zone ', least: 3, closed: true, dragged: rectangle,
        rows: () => [
            {name: 'tag', words: 'Tag', value: state.scene.tag, choices: (state.scene.tags ?? []).map((tag) => tag.name)},
            {name: 'p95', words: 'p95 asked', value: '', unit: unit()},
            {name: 'share', words: 'of places', value: '', unit: '%'},
        ],
        value: (read, list) => ({
            outline: list,
            tag: (state.scene.tags ?? []).length > 1 ? read.tag : undefined,
            need: read.p95 === undefined && read.share === undefined ? undefined : {p95: read.p95, share: read.share},
        }),
    },
};

// While there is no floor, what the zone's instrument draws is the floor.
KINDS.floor = {
    title: 'The floor', least: 3, closed: true, dragged: rectangle,
    rows: () => [{name: 'ceiling', words: 'Its height', value: number(6), unit: unit()}],
    operation: (read, list) => ({op: 'set', at: ['floor'], value: {outline: list, ceiling: read.ceiling, picture: pictureValue()}}),
};

const says = (list) => (list.length > 1 ? length(distance(list[list.length - 2], list[list.length - 1])) : 'Enter ends');

// The fields as values: lengths in metres, shares of one, what is left open left out; null if one is no number.
function readFields(rows, inputs) {
    const read = {name: inputs.name?.value.trim()};
    for (const {name, choices, unit: kind} of rows) {
        if (name === 'name') continue;
        const text = inputs[name].value;
        if (choices) read[name] = text;
        else if (text.trim() !== '') {
            read[name] = kind === '%' ? Number(text.replace(',', '.')) / 100 : parse(text);
            if (read[name] === null || Number.isNaN(read[name])) return null;
        }
    }
    return read.name === '' ? null : read;
}

function askWhat(kind, list) {
    const shape = KINDS[kind];
    const named = shape.list ? [{name: 'name', words: 'Name', value: freeName(shape.prefix, state.scene[shape.list])}] : [];
    const rows = [...named, ...shape.rows()];
    const form = fields(rows);
    const put = (event) => {
        event.preventDefault();
        const read = readFields(rows, form.inputs);
        if (!read) return;
        takeAway();
        step([shape.operation ? shape.operation(read, rounded(list))
            : {op: 'add', at: [shape.list], value: {name: read.name, ...shape.value(read, rounded(list))}}]);
    };
    state.ghost = {points: list, closed: shape.closed};
    lay({
        kind: 'shape', title: shape.title, about: list[0],
        body: [el('form', {on: {submit: put}}, ...form.lines, el('button', {class: 'btn strong'}, 'Put it on the sheet'))],
        closed: () => {
            state.ghost = null;
        },
    });
    form.first.focus();
    form.first.select();
}

// Ends a shape drawn point by point: asks what it is, or drops it.
export function endShape(keep) {
    const [kind, list] = [drawing, points];
    points = [];
    drawing = null;
    if (!kind) return false;
    state.ghost = null;
    tell('hands');
    if (keep && list.length >= KINDS[kind].least) askWhat(kind, list);
    return true;
}

function addPoint(kind, at) {
    if (drawing !== kind) points = [];
    drawing = kind;
    points.push(at);
    state.ghost = {points: [...points], closed: false, words: says(points)};
    tell('hands');
}

const meant = (kind) => (!hasFloor() && kind === 'zone' && state.picture?.scaled ? 'floor' : kind);

export const beginShape = (instrument) => (begin, event) => {
    const kind = meant(instrument);
    if (readOnly() || !(hasFloor() || kind === 'floor')) return null;
    const start = snapped(begin, event.altKey).at;
    const shape = KINDS[kind];
    let list = null;
    return {
        move(at, now) {
            if (!list && Math.hypot(now.clientX - event.clientX, now.clientY - event.clientY) < TAP) return;
            list = shape.dragged(start, snapped(at, now.altKey).at);
            const [w, h] = [Math.abs(list[list.length >> 1][0] - start[0]), Math.abs(list[list.length >> 1][1] - start[1])];
            state.ghost = {points: list, closed: shape.closed, words: shape.closed ? `${length(w)} × ${length(h)}` : says(list)};
            tell('hands');
        },
        end() {
            if (!list) addPoint(kind, start);
            else askWhat(kind, list);
        },
        cancel() {
            state.ghost = null;
            tell('hands');
        },
    };
};

// By keys: a point at the cross-hair; a second time at the same place ends the shape.
beginShape.at = (instrument) => (at) => {
    if (readOnly()) return;
    const last = drawing && points[points.length - 1];
    if (last && distance(last, at) < 1e-6) endShape(true);
    else addPoint(meant(instrument), at);
};
