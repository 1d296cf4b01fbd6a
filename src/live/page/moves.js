// Anchors in motion: what is carried is shown and answered at once, what is settled becomes one step.

import {hold, release, step} from './edits.js';
import {anchorNamed, placeOf, readOnly, state, tell} from './state.js';
import {tidy} from './units.js';

const operation = (name, at) => ({op: 'set', at: ['anchors', name, 'at'], value: at.map(tidy)});

const heldOperations = () => [...state.held].map(([name, at]) => operation(name, at));

export function clampHeight(z) {
    return Math.min(state.scene.ceiling ?? 1000, Math.max(0, z));
}

export function carry(name, at, time = 0) {
    if (readOnly()) return;
    state.held.set(name, at.map(tidy));
    hold(heldOperations(), time);
    tell('hands');
}

// True if it became a step.
export function settle(name) {
    const anchor = anchorNamed(name);
    const at = state.held.get(name);
    if (!anchor || !at) return false;
    if (at.every((value, axis) => Math.abs(value - anchor.at[axis]) < 5e-4)) {
        release();
        return false;
    }
    step([operation(name, at)]);
    return true;
}

export const putBack = () => {
    if (state.held.size) release();
};

// Keys and wheel: what follows within the rest is one step.
let resting = 0;
let moved = null;

export function nudge(name, by, rest) {
    const anchor = anchorNamed(name);
    if (!anchor || readOnly()) return;
    if (moved && moved !== name) settleNudge();
    const at = placeOf(anchor);
    carry(name, [at[0] + by[0], at[1] + by[1], clampHeight(at[2] + by[2])], performance.now());
    moved = name;
    clearTimeout(resting);
    resting = setTimeout(settleNudge, rest);
}

export function settleNudge() {
    clearTimeout(resting);
    const name = moved;
    moved = null;
    return name !== null && settle(name);
}

export function place(name, at) {
    if (readOnly()) return;
    state.held.set(name, at.map(tidy));
    settle(name);
}

export function select(name) {
    state.selected = name;
    tell('hands');
}

export function freeName(prefix, list) {
    const taken = new Set((list ?? []).map((item) => item.name));
    let n = 1;
    while (taken.has(`${prefix}${n}`)) n++;
    return `${prefix}${n}`;
}

// The height that most anchors hang at.
export function commonHeight() {
    const counts = new Map();
    let best = null;
    for (const anchor of state.scene?.anchors ?? []) {
        const height = Math.round(anchor.at[2] * 100) / 100;
        counts.set(height, (counts.get(height) ?? 0) + 1);
        if (best === null || counts.get(height) > counts.get(best)) best = height;
    }
    return best;
}

export function addAnchor(x, y) {
    if (readOnly()) return;
    const name = freeName('A', state.scene.anchors);
    const z = commonHeight() ?? Math.max(0, (state.scene.ceiling ?? 5) - 0.5);
    step([{op: 'add', at: ['anchors'], value: {name, at: [x, y, z].map(tidy)}}]);
    select(name);
}

export function removeAnchor(name) {
    if (readOnly()) return;
    step([{op: 'remove', at: ['anchors', name]}]);
    if (state.selected === name) select(null);
}

// Copies along a line that ends at `end`: at equal distances, the last one there.
export function copyRow(name, count, end) {
    const from = anchorNamed(name).at;
    const by = [0, 1, 2].map((axis) => tidy(((end[axis] ?? from[axis]) - from[axis]) / count));
    step([{op: 'copy', at: ['anchors', name], value: {count, by}}]);
}
