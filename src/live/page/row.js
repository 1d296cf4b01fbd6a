// The parallel rule: copies of an anchor along a line, at equal distances.

import {el} from './dom.js';
import {anchorUnder} from './handles.js';
import {copyRow, select} from './moves.js';
import {distance} from './plane.js';
import {fields, lay, takeAway} from './slip.js';
import {snapped} from './snap.js';
import {anchorNamed, readOnly, state, tell} from './state.js';
import {length, number, parse, unit} from './units.js';

const SPACING = 10; // metres between copies, until another number is asked for
const MOST = 100;

const copiesTo = (from, to) => Math.min(MOST, Math.max(1, Math.round(distance(from, to) / SPACING)));

function along(from, to, count) {
    const points = [from.slice(0, 2)];
    for (let i = 1; i <= count; i++) {
        points.push([from[0] + ((to[0] - from[0]) * i) / count, from[1] + ((to[1] - from[1]) * i) / count]);
    }
    return points;
}

function show(name, to, count) {
    const from = anchorNamed(name).at;
    const points = along(from, to, count);
    state.ghost = {points, dots: points.slice(1), words: `${count} × ${length(distance(from, to) / count)}`};
    tell('hands');
}

// The row in numbers: how many, and where the last one hangs.
function askRow(name, to) {
    const form = fields([
        {name: 'count', words: 'Copies', value: String(copiesTo(anchorNamed(name).at, to)), unit: 'along the line'},
        {name: 'east', words: 'Last one, east', value: number(to[0]), unit: unit()},
        {name: 'north', words: 'Last one, north', value: number(to[1]), unit: unit()},
    ]);
    const read = () => {
        const count = Math.round(Number(form.inputs.count.value));
        const end = [parse(form.inputs.east.value), parse(form.inputs.north.value)];
        return count >= 1 && count <= MOST && end.every((value) => value !== null) ? {count, end} : null;
    };
    const preview = () => {
        const row = read();
        if (row) show(name, row.end, row.count);
    };
    const put = () => {
        const row = read();
        if (!row) return;
        takeAway();
        copyRow(name, row.count, row.end);
    };
    lay({
        kind: 'row', title: `Row from ${name}`, about: to,
        body: [el('form', {on: {input: preview, submit: (event) => { event.preventDefault(); put(); }}}, ...form.lines,
            el('button', {class: 'btn strong'}, 'Put them up'))],
        closed: () => {
            state.ghost = null;
        },
    });
    preview();
    form.first.focus();
}

export function beginRow(start, event) {
    const name = anchorUnder(event.target);
    if (!name || readOnly()) return null;
    select(name);
    let to = start;
    return {
        move(at, now) {
            to = snapped(at, now.altKey).at;
            show(name, to, copiesTo(anchorNamed(name).at, to));
        },
        end() {
            if (to !== start) askRow(name, to);
        },
        cancel() {
            state.ghost = null;
            tell('hands');
        },
    };
}

// By keys: from the selected anchor to the cross-hair.
beginRow.at = (at) => {
    if (state.selected && !readOnly()) askRow(state.selected, at);
};
